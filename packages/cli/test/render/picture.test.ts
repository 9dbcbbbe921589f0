import { describe, expect, it } from "vitest";
import { picture } from "../../src/render/picture.js";

const drawn = (content: { start: number; length: number; kind: "code" | "fill" | "text" }[]) => ({
  inputs: [{ role: "read", spans: [{ start: 0, length: 0x1000 }] }],
  images: [{ role: "read", content }],
  findings: [
    {
      code: "a/b",
      severity: "stop" as const,
      title: "",
      detail: "",
      subject: "both",
      where: [{ start: 0xc00, length: 0x400 }],
      expected: null,
      found: null,
      advice: "",
    },
  ],
});

describe("the picture of a read", () => {
  it("has a line of blocks by kind, the places of findings under it, and what the signs mean", () => {
    const lines = picture(
      drawn([
        { start: 0, length: 0x800, kind: "code" },
        { start: 0x800, length: 0x400, kind: "fill" },
        { start: 0xc00, length: 0x400, kind: "text" },
      ]),
      48,
    );
    expect(lines).toContain('content %%%%%%%%%%%%%%%%%%%%__________""""""""""');
    expect(lines).toContain("found                                 !!!!!!!!!!");
    expect(lines.join(" ")).toMatch(/_ one value +" text +% like code +! stop/);
  });

  it("fits into 80 columns and speaks ASCII", () => {
    const kinds = (["code", "fill", "text"] as const).map((kind, i) => ({ start: 32 * i, length: 32, kind }));
    for (const line of picture(drawn(kinds), 78)) expect(line).toMatch(/^[\x20-\x7e]{0,78}$/);
  });
});
