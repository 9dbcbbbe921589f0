import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { escapeForTerminal, escapeJson } from "../../src/terminal/escape.js";
import { painter } from "../../src/terminal/paint.js";
import { withoutColour } from "../support/colours.js";

// What a terminal acts on: ECMA-48 C0 and C1 with DEL; Unicode's bidirectional controls (UAX #9), line and paragraph
// separators, and characters without width. Listed by code and not by property, so that a wrong property shows.
const dangerous = [
  ...Array.from({ length: 32 }, (_, code) => code),
  ...Array.from({ length: 33 }, (_, i) => 0x7f + i),
  0xad,
  0x34f,
  0x61c,
  0x115f,
  0x1160,
  0x17b4,
  0x17b5,
  0x180e,
  0x200b,
  0x200c,
  0x200d,
  0x200e,
  0x200f,
  0x2028,
  0x2029,
  0x202a,
  0x202b,
  0x202c,
  0x202d,
  0x202e,
  0x2060,
  0x2061,
  0x2064,
  0x2066,
  0x2067,
  0x2068,
  0x2069,
  0x206a,
  0x206f,
  0x3164,
  0xfe00,
  0xfe0f,
  0xfeff,
  0xffa0,
  0xfff9,
  0xfffb,
  0xd800,
  0xdfff,
  0xe0001,
  0xe007f,
  0xe0100,
  0xa0,
  0x1680,
  0x2000,
  0x200a,
  0x202f,
  0x205f,
  0x3000, // blanks that are not the blank
];
const acting = new RegExp(`[${dangerous.map((code) => `\\u{${code.toString(16)}}`).join("")}]`, "u");

describe("escaping for a terminal", () => {
  it("leaves none of the characters that act, hide or turn", () => {
    for (const code of dangerous) {
      const shown = escapeForTerminal(`a${String.fromCodePoint(code)}b`);
      expect(shown, code.toString(16)).toMatch(/^a\\(x[0-9a-f]{2}|u\{[0-9a-f]+\})b$/);
    }
  });

  it("leaves visible text as it is, in any script", () => {
    for (const text of [
      "Ruderhaus #2 (5 %)",
      "caf\u00e9 cafe\u0301",
      "\u6a5f\u95a2",
      "\u05d0\u05d1",
      "\u0939\u093f",
      "\\x1b",
      "C:\\read.bin",
    ]) {
      expect(escapeForTerminal(text)).toBe(text);
    }
  });

  it("does nothing the second time", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        const once = escapeForTerminal(text);
        expect(escapeForTerminal(once)).toBe(once);
        expect(once).not.toMatch(acting);
      }),
      { numRuns: 2000 },
    );
  });
});

describe("escaping JSON", () => {
  it("changes how the value is written and never the value", () => {
    fc.assert(
      fc.property(fc.jsonValue({ stringUnit: "binary" }), (value) => {
        const plain = JSON.stringify(value, null, 2);
        const escaped = escapeJson(plain);
        expect(JSON.parse(escaped)).toEqual(JSON.parse(plain));
        expect(escaped.replaceAll("\n", "")).not.toMatch(acting);
      }),
      { numRuns: 1000 },
    );
  });
});

describe("painting", () => {
  const sequences = [
    "\x1b]0;title\x07",
    "\x1b]8;;file:///\x1b\\text\x1b]8;;\x1b\\",
    "\x1b]52;c;aGVsbG8=\x07",
    "\x9b31m",
    "\x9d0;title\x9c",
    "\x1bP+q544e\x1b\\",
    "\x90data\x9c",
    "\x1b[2J\x1b[H",
    "line\r\x1b[Kother",
    "\x1b[31mred\x1b[0m",
    "\u202egnp.exe",
  ];

  it.each([true, false])("puts out no control character but its own colours and line feeds, colour %s", (colour) => {
    for (const text of [...sequences, ...dangerous.map((code) => String.fromCodePoint(code))]) {
      const painted = painter(colour)([text, ["a", { text, style: "stop" }, { text, style: "faint" }]]);
      expect(withoutColour(painted).replaceAll("\n", "")).not.toMatch(acting);
      expect(painted.match(/\n/g)).toHaveLength(2);
      if (!colour) expect(painted).not.toContain("\x1b");
    }
  });

  it("shows a colour sequence of somebody else as text", () => {
    expect(painter(true)(["\x1b[31mred"])).toBe("\\x1b[31mred\n");
  });

  it("has the same words without the colours", () => {
    const lines = [[{ text: "stop", style: "stop" }, " and ", { text: "review", style: "review" }]] as const;
    expect(withoutColour(painter(true)(lines))).toBe(painter(false)(lines));
    expect(painter(true)(lines)).not.toBe(painter(false)(lines));
  });
});
