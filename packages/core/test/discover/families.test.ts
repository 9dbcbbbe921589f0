import { describe, expect, it } from "vitest";
import { algorithmOf } from "../../src/algorithms/algorithm.js";
import { familiesToSeek } from "../../src/discover/families.js";
import type { Family, Variant } from "../../src/discover/family.js";
import { randomFrom, seed } from "../reference/random.js";

// The slow twin of every family is the algorithm itself, fed with the range. The algorithms are held to published
// check values in their own tests.
const offsets = Int32Array.of(0, 4, 8, 64, 100, 104, 1020, 1024, 1028, 2052, 3000, 4096, 4100, 9000, 9004);

function slow({ algorithm, form }: Variant, width: number, ...parts: readonly Uint8Array[]): number {
  const running = algorithmOf(algorithm).start();
  for (const part of parts) running.update(part);
  const value = running.value();
  const stored = form === "complement" ? ~value : form === "negated" ? -value : value;
  return Number(BigInt.asUintN(width, stored));
}

const unsigned = (value: number, width: number) => (width === 32 ? value >>> 0 : value & (2 ** width - 1));

describe.each(familiesToSeek().map((family) => [family.name, family] as const))(
  `%s, seed ${seed}`,
  (_, family: Family) => {
    const content = randomFrom(seed).bytes(9010);
    const keys = family.keysOf(content, offsets);
    const every = Int32Array.from(offsets.keys());

    it.each(family.variants.map((variant) => [JSON.stringify(variant, bigints), variant] as const))(
      "%s",
      (_, variant) => {
        const starts = keys.starts(variant.init);
        for (let end = 1; end < offsets.length; end++) {
          const indices = Int32Array.from({ length: end }, (_, i) => i);
          const values = new Int32Array(end);
          keys.valuesTo(end, indices, starts, end, values);
          for (let start = 0; start < end; start++) {
            const expected = slow(variant, family.width, content.subarray(offsets[start], offsets[end]));
            const raw = keys.value(start, end, variant.init);
            expect(unsigned(variant.toStored(raw), family.width)).toBe(expected);
            expect(variant.toRaw(expected | 0)).toBe(raw);
            expect(values[start]).toBe(raw);
            const raws = new Int32Array(offsets.length).fill(raw);
            if (family.joins !== "none") expect(keys.wantedStarts(raws, every)[end]).toBe(starts[start]);
            if (family.joins !== "none") expect(keys.wantedStart(end, raw)).toBe(starts[start]);
            if (family.joins === "both") expect(keys.wantedEnds?.(raws, every)[start]).toBe(keys.ends?.()[end]);
          }
        }
      },
    );

    if (!family.linear) return;
    it("takes bytes inside as zeros, or leaves them out", () => {
      const [variant] = family.variants as readonly [Variant];
      for (const [start, from, to, end] of [
        [0, 1, 2, 9],
        [3, 4, 5, 14],
        [2, 6, 8, 11],
      ] as const) {
        const key = keys.starts(variant.init)[start] as number;
        const values = new Int32Array(1);
        const movedValue = (moved: number) => {
          keys.valuesTo(end, Int32Array.of(start), Int32Array.of(moved), 1, values);
          return unsigned(variant.toStored(values[0] as number), family.width);
        };
        const zeroed = content.slice(offsets[start], offsets[end]);
        const base = offsets[start] as number;
        zeroed.fill(0, (offsets[from] as number) - base, (offsets[to] as number) - base);
        expect(movedValue(keys.zeroed?.(key, from, to) as number)).toBe(slow(variant, family.width, zeroed));
        const left = [content.subarray(offsets[start], offsets[from]), content.subarray(offsets[to], offsets[end])];
        expect(movedValue(keys.leftOut?.(key, from, to) as number)).toBe(slow(variant, family.width, ...left));
        expect(keys.unmoved(keys.zeroed?.(key, from, to) as number, from, to, "zeros")).toBe(key);
        expect(keys.unmoved(keys.leftOut?.(key, from, to) as number, from, to, "left-out")).toBe(key);
      }
    });
  },
);

describe("the shares of the belief", () => {
  it("add up to no more than one over all families, and over the variants of each", () => {
    const share = (bits: readonly number[]) => bits.reduce((sum, each) => sum + 2 ** -each, 0);
    expect(share(familiesToSeek().map(({ bits }) => bits))).toBeLessThanOrEqual(1);
    for (const { name, variants } of familiesToSeek()) {
      expect(share(variants.map(({ bits }) => bits)), name).toBeLessThanOrEqual(1.001);
    }
  });
});

function bigints(_: string, value: unknown) {
  return typeof value === "bigint" ? `0x${value.toString(16)}` : value;
}
