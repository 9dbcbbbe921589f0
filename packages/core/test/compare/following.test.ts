import { describe, expect, it } from "vitest";
import { measureChecksums } from "../../src/checksums/measure.js";
import { followingChecksums } from "../../src/compare/following.js";
import { compareReadback } from "../../src/compare/readback.js";
import { describeUnit } from "../../src/unit/unit.js";
import { content, imageOf, profileWith } from "../checksums/measured.js";

// Invented: what a unit learns, as long as a field in it says, under a sum.
const profile = profileWith(
  [
    { algorithm: "sum16-bytes", over: [{ start: 0, length: { field: "length" } }], stored: { at: 64, bytes: 2 } },
    { algorithm: "sum16-bytes", over: [{ start: 68, length: 20 }], stored: { at: 90, bytes: 2 } },
  ],
  {
    regions: [
      { name: "learnt", role: "adaptation", over: [{ start: 0, length: 64 }] },
      { name: "program", role: "program", over: [{ start: 64, length: 36 }] },
    ],
    fields: [{ name: "length", type: "unsigned", at: 0, length: 1 }],
  },
);

/** A unit that learnt `length` bytes, the last of them `last`, with a first sum that holds. */
function unit(length: number, last: number) {
  const bytes = content(100);
  bytes[0] = length;
  bytes[length - 1] = last;
  const sum = bytes.subarray(0, length).reduce((total, byte) => total + byte, 0);
  bytes.set([sum >> 8, sum & 0xff], 64);
  const described = describeUnit(imageOf(bytes), profile);
  return { described, checksums: measureChecksums(described) };
}

describe("checksums that follow from a difference", () => {
  const [first, alike, longer] = [unit(20, 1), unit(20, 2), unit(21, 2)];
  const explained = (read: typeof first) =>
    compareReadback(first.described.image, read.described.image, {
      units: { intended: first.described, read: read.described },
      checksums: { intended: first.checksums, read: read.checksums },
      erased: undefined,
    }).pieces.filter(({ span }) => span.start >= 64);

  it("hold in both units, over the same places", () => {
    const held = (read: typeof first) =>
      followingChecksums(first.checksums, read.checksums).map(({ name, holdsInBoth }) => [name, holdsInBoth]);
    expect(first.checksums.map(({ status }) => status)).toEqual(["holds", "fails"]);
    expect(longer.checksums.map(({ status }) => status)).toEqual(["holds", "fails"]);
    expect(held(alike)).toEqual([
      ["check-a", true],
      ["check-b", false],
    ]);
    expect(held(longer)).toEqual([
      ["check-a", false],
      ["check-b", false],
    ]);
  });

  it("are left out where only one unit has them", () => {
    expect(followingChecksums(first.checksums, alike.checksums.slice(1)).map(({ name }) => name)).toEqual(["check-b"]);
  });

  it("explain what was read back only over the places that were meant", () => {
    expect(explained(alike)).not.toEqual([]);
    expect(explained(alike).every(({ rule }) => rule === "checksum/check-a")).toBe(true);
    expect(explained(longer)).not.toEqual([]);
    expect(explained(longer).every(({ rule }) => rule === undefined)).toBe(true);
  });
});
