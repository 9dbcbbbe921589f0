import { describe, expect, it } from "vitest";
import { catalogue } from "../../src/findings/catalogue.js";
import { retiredCodes } from "../../src/findings/retired.js";

describe.each(Object.entries(catalogue))("%s", (code, entry) => {
  it("is spelt area/what-is-wrong", () => expect(code).toMatch(/^[a-z][a-z0-9-]*\/[a-z0-9]+(-[a-z0-9]+)*$/));

  it("says what was expected and found when it asks for anything", () => {
    if (entry.severity === "note") return;
    expect(entry.expected).toBeTypeOf("function");
    expect(entry.found).toBeTypeOf("function");
  });

  it("has a title, a reason, advice and the release that first said it", () => {
    for (const text of [entry.title, entry.why, entry.next]) expect(text).toMatch(/^[A-Z0-9].{8,}/s);
    expect(entry.title).not.toMatch(/\.$/);
    expect(entry.why).toMatch(/[.?]$/);
    expect(entry.next).toMatch(/\.$/);
    expect(entry.since).toMatch(/^\d+\.\d+\.\d+$/);
  });

  it("does not shout", () => {
    for (const text of [entry.title, entry.why, entry.next])
      expect(text).not.toMatch(
        /!|\b(?!CRC|FF|EOF|ASCII|UTF|LF|CR|HEX|XOR|SHA|CVN|VIN|ISO|CAL|DID|NUL|JSON)[A-Z]{4,}\b/,
      );
  });

  it("was never retired", () => expect(Object.hasOwn(retiredCodes, code)).toBe(false));
});
