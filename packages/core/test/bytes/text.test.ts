import { describe, expect, it } from "vitest";
import { toUtf8 } from "../../src/bytes/text.js";

describe("toUtf8", () => {
  it("gives what the platform's encoder gives, for every character and half of one", () => {
    for (let first = 0; first < 0x110000; first += 0x1000) {
      const codes = Array.from({ length: 0x1000 }, (_, i) => first + i);
      const text = codes.map((code) => `${String.fromCodePoint(code)}.`).join("");
      expect(Buffer.from(toUtf8(text)).equals(Buffer.from(new TextEncoder().encode(text)))).toBe(true);
    }
    expect(toUtf8("")).toHaveLength(0);
  });
});
