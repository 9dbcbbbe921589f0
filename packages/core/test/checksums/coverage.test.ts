import { describe, expect, it } from "vitest";
import { type Coverage, coverageOf } from "../../src/checksums/coverage.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import { recomputeChecksums } from "../../src/checksums/recompute.js";
import { Image } from "../../src/image/image.js";
import { describeUnit } from "../../src/unit/unit.js";
import { content, imageOf, profileWith } from "./measured.js";

const regions = [
  { name: "start", role: "boot", over: [{ start: 0, length: 16 }] },
  { name: "program", role: "program", over: [{ start: 16, length: 48 }] },
  { name: "maps", role: "calibration", over: [{ start: 64, length: 16 }] },
  { name: "number", role: "identity", over: [{ start: 80, length: 10 }] },
];
const checksums = [
  { algorithm: "sum8", over: [{ region: "start" }], stored: { at: 90 } },
  { algorithm: "CRC-16/ARC", over: [{ start: 16, end: 40 }], stored: { at: 62 } },
];
const profile = profileWith(checksums, { regions });

function coverageIn(image: Image): Coverage {
  const unit = describeUnit(image, profile);
  return coverageOf(unit, measureChecksums(unit));
}

describe("coverage", () => {
  const sound = recomputeChecksums(imageOf(content(100)), profile).image;

  it("counts what a checksum that holds covers, and its stored value", () => {
    const { checksummed, described, uncovered } = coverageIn(sound);
    expect(checksummed).toBe((16 + 1 + 24 + 2) / 100);
    expect(described).toBe(90 / 100);
    expect(uncovered).toEqual([
      { region: "program", role: "program", spans: [{ start: 40, end: 62 }], known: 48 },
      { region: "maps", role: "calibration", spans: [{ start: 64, end: 80 }], known: 16 },
    ]);
  });

  it("counts nothing for a checksum that fails", () => {
    const bytes = (sound.read({ start: 0, end: 100 }) as Uint8Array).slice();
    bytes[3] = (bytes[3] as number) ^ 1;
    const { checksummed, uncovered } = coverageIn(imageOf(bytes));
    expect(checksummed).toBe(26 / 100);
    expect(uncovered[0]).toEqual({ region: "start", role: "boot", spans: [{ start: 0, end: 16 }], known: 16 });
  });

  it("counts known bytes only", () => {
    const half = coverageIn(sound.slice({ start: 0, end: 50 }));
    expect(half).toMatchObject({ checksummed: 0, described: 1 });
    expect(half.uncovered.map(({ region, known }) => [region, known])).toEqual([
      ["start", 16],
      ["program", 34],
    ]);
    expect(coverageIn(Image.empty)).toMatchObject({ checksummed: 0, described: 0, uncovered: [] });
  });

  it("is whole where everything is covered, by several checksums together", () => {
    const all = profileWith(
      [
        { algorithm: "sum8", over: [{ start: 0, end: 60 }], stored: { at: 99 } },
        { algorithm: "sum8", over: [{ start: 30, end: 98 }], stored: { at: 98 } },
      ],
      { regions },
    );
    const unit = describeUnit(recomputeChecksums(sound, all).image, all);
    expect(coverageOf(unit, measureChecksums(unit))).toMatchObject({ checksummed: 1, described: 0.9, uncovered: [] });
  });
});
