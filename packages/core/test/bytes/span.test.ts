import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  common,
  MEMORY_END,
  normalised,
  overlap,
  type Span,
  spanOf,
  subtract,
  totalLength,
} from "../../src/bytes/span.js";

const span = fc.tuple(fc.nat(60), fc.nat(12)).map(([start, length]) => ({ start, end: start + length }));
const spans = fc.array(span, { maxLength: 8 });
const addresses = (list: readonly Span[]) => {
  const set = new Set<number>();
  for (const { start, end } of list) for (let i = start; i < end; i++) set.add(i);
  return set;
};
const sorted = (set: Set<number>) => [...set].sort((a, b) => a - b);

function isNormal(list: readonly Span[]): boolean {
  return list.every((one, i) => one.start < one.end && (i === 0 || (list[i - 1] as Span).end < one.start));
}

describe("sets of spans agree with plain sets of addresses", () => {
  it("normalised", () => {
    fc.assert(
      fc.property(spans, (a) => {
        const result = normalised(a);
        expect(isNormal(result)).toBe(true);
        expect(sorted(addresses(result))).toEqual(sorted(addresses(a)));
      }),
    );
  });

  it("subtract and common", () => {
    fc.assert(
      fc.property(spans, spans, (a, b) => {
        const [inA, inB] = [addresses(a), addresses(b)];
        const rest = subtract(a, b);
        const both = common(a, b);
        expect(isNormal(rest)).toBe(true);
        expect(sorted(addresses(rest))).toEqual(sorted(inA).filter((address) => !inB.has(address)));
        expect(sorted(addresses(both))).toEqual(sorted(inA).filter((address) => inB.has(address)));
        expect(totalLength(normalised(both))).toBe(addresses(both).size);
      }),
    );
  });

  it("overlap", () => {
    fc.assert(
      fc.property(span, span, (a, b) => {
        expect(overlap(a, b)).toBe(sorted(addresses([a])).some((address) => addresses([b]).has(address)));
      }),
    );
  });
});

describe("the end of memory", () => {
  it("is a legal end", () => expect(spanOf(MEMORY_END - 1, 1)).toEqual({ start: 0xffffffff, end: MEMORY_END }));

  it.each([
    [MEMORY_END, 1],
    [-1, 1],
    [0.5, 1],
    [0, Number.NaN],
    [5, -1],
  ])("is not passed: %s + %s", (start, length) => expect(() => spanOf(start, length)).toThrow(RangeError));
});
