import { describe, expect, it } from "vitest";
import { comparePair } from "../../src/compare/pair.js";
import { compareReadback } from "../../src/compare/readback.js";
import { differenceOf, differingSpans, differingSpansBut, runLimit } from "../../src/image/difference.js";
import { describeUnit } from "../../src/unit/unit.js";
import { content, imageOf, profileWith } from "../checksums/measured.js";

// Invented: a unit that learnt more in runs of one byte than a list of runs has room for, with its program behind that.
const learnt = { start: 0, end: 4 * runLimit };
const program = { start: learnt.end, end: learnt.end + 4096 };
const regions = [
  { name: "learnt", role: "adaptation", over: [learnt] },
  { name: "program", role: "program", over: [program] },
];
const profile = profileWith([], { regions, pair: { sides: { left: "port", right: "starboard" } } });
const left = content(program.end);
const right = (changed?: number) => {
  const bytes = left.slice();
  for (let at = 0; at < learnt.end; at += 2) bytes[at] = 255 - (bytes[at] as number);
  if (changed !== undefined) bytes[changed] = 255 - (bytes[changed] as number);
  return bytes;
};
const unit = (bytes: Uint8Array) => describeUnit(imageOf(bytes), profile);

describe("more runs than are listed, where differences mean nothing", () => {
  it("leave every other run to itself", () => {
    const [a, b] = [imageOf(left), imageOf(right(program.start + 7))];
    const difference = differenceOf(a, b);
    expect(differingSpans(difference).at(-1)).toEqual({ start: 2 * runLimit, end: program.end });
    const spans = differingSpansBut([learnt], difference, a, b);
    expect(spans.filter(({ end }) => end > learnt.end)).toEqual([{ start: program.start + 7, end: program.start + 8 }]);
    expect(differingSpansBut([learnt], differenceOf(a, a), a, a)).toEqual([]);
  });

  it("do not make the rest of a pair differ, nor hide what does", () => {
    expect(comparePair(unit(left), unit(right()), []).regions).toEqual([]);
    const { regions: differing } = comparePair(unit(left), unit(right(program.start + 7)), []);
    expect(differing).toMatchObject([{ region: "program", bytes: 1, first: [{ start: program.start + 7 }] }]);
  });

  it("do not make the rest of a read-back differ, nor hide what does", () => {
    const faults = (bytes: Uint8Array) => {
      const [intended, read] = [unit(left), unit(bytes)];
      const context = { units: { intended, read }, erased: 0xff };
      return compareReadback(intended.image, read.image, context).faults;
    };
    expect(faults(right())).toEqual([]);
    expect(faults(right(program.start + 7))).toMatchObject([{ region: "program", bytes: 1 }]);
  });
});
