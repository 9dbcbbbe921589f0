import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { showRun, showShare } from "../../src/render/numbers.js";
import { scaleOf } from "../../src/render/scale.js";
import { table } from "../../src/render/table.js";
import { hanging, sideBySide, wrap } from "../../src/render/wrap.js";

const word = fc.string({ unit: fc.constantFrom("a", "B", "7", "-", "\u6a5f"), minLength: 1, maxLength: 100 });

describe("wrapping", () => {
  it("loses no word and breaks none, however narrow", () => {
    fc.assert(
      fc.property(fc.array(word, { minLength: 1 }), fc.integer({ min: 1, max: 90 }), (words, width) => {
        expect(wrap(words.join(" "), width).join(" ")).toBe(words.join(" "));
      }),
    );
  });

  it("makes a line longer than the width only for a single word", () => {
    fc.assert(
      fc.property(fc.array(word), fc.integer({ min: 1, max: 90 }), (words, width) => {
        for (const line of wrap(words.join(" "), width)) {
          const cells = [...line].reduce((sum, character) => sum + (character === "\u6a5f" ? 2 : 1), 0);
          if (line.includes(" ")) expect(cells).toBeLessThanOrEqual(width);
        }
      }),
    );
  });

  it("hangs the further lines under the first, and puts entries side by side", () => {
    expect(hanging("next", 6, "read the unit again", 14)).toEqual(["next  read the", "      unit", "      again"]);
    expect(sideBySide(["A boot", "B program", "C spare"], 20)).toEqual(["A boot   B program", "C spare"]);
  });
});

describe("a table", () => {
  const columns = [{ title: "name" }, { title: "bytes", align: "right" as const }];

  it("aligns its columns by the cells that a terminal gives them", () => {
    expect(
      table(
        columns,
        [
          ["\u6a5f\u95a2", "16"],
          ["boot", "1024"],
        ],
        80,
      ),
    ).toEqual(["name  bytes", "\u6a5f\u95a2     16", "boot   1024"]);
  });

  it("becomes blocks where it is too wide, with every value whole", () => {
    const digest = "0123456789abcdef".repeat(4);
    expect(
      table(
        [{ title: "name" }, { title: "stored" }],
        [
          ["boot", digest],
          ["program", ""],
        ],
        60,
      ),
    ).toEqual(["name    boot", `stored  ${digest}`, "", "name    program"]);
  });
});

describe("numbers", () => {
  it("a run says both ends and its size, up to the end of memory", () => {
    expect(showRun({ start: 0x31000, length: 1 })).toBe("0x00031000..0x00031001 (1 byte)");
    expect(showRun({ start: 2 ** 32 - 16, length: 16 })).toBe("0xFFFFFFF0..0x100000000 (16 bytes)");
  });

  it("a share that is not all of it never reads as all of it", () => {
    expect([1, 0.99996, 0.98, 0.00001, 0].map(showShare)).toEqual([
      "100 %",
      "over 99.9 %",
      "98.0 %",
      "under 0.1 %",
      "0 %",
    ]);
  });
});

describe("a scale", () => {
  const runs = fc.array(
    fc.record({ start: fc.integer({ min: 0, max: 2 ** 32 - 1 }), length: fc.integer({ min: 1, max: 2 ** 20 }) }),
    { minLength: 1, maxLength: 60 },
  );

  it("has as many columns as it was given, and every run lies on at least one, in order", () => {
    fc.assert(
      fc.property(runs, fc.integer({ min: 20, max: 200 }), (drawn, columns) => {
        const scale = scaleOf(drawn, drawn, columns);
        expect(scale?.blank(" ")).toHaveLength(columns);
        const placed = [...drawn].sort((a, b) => a.start - b.start).map((run) => scale?.columnsOf(run));
        for (const [i, place] of placed.entries()) {
          const { first, last } = place ?? { first: -1, last: -1 };
          expect(first).toBeGreaterThanOrEqual(0);
          expect(last).toBeGreaterThanOrEqual(first);
          expect(last).toBeLessThan(columns);
          expect(first).toBeGreaterThanOrEqual(placed[i - 1]?.first ?? 0);
        }
      }),
    );
  });

  it("is true to size, gives the small at least one column, and leaves out what nobody knows", () => {
    const region = (start: number, length: number) => ({ start, length });
    const half = scaleOf([region(0, 512), region(512, 512)], [], 64);
    expect(half?.columnsOf(region(512, 512))).toEqual({ first: 32, last: 63 });
    const small = scaleOf([region(0, 1), region(1, 999_999)], [], 50);
    expect(small?.columnsOf(region(0, 1))).toEqual({ first: 0, last: 0 });
    const apart = scaleOf([region(0, 100), region(2 ** 31, 100)], [region(0, 100), region(2 ** 31, 100)], 41);
    expect(apart?.broken).toBe(true);
    expect(apart?.blank(" ").join("")).toBe(`${" ".repeat(20)}:${" ".repeat(20)}`);
  });

  it("draws nothing of nothing", () => expect(scaleOf([], [], 60)).toBeUndefined());
});
