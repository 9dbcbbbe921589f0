import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { common, totalLength } from "../../src/bytes/span.js";
import { alike, differenceOf, differingSpans, runLimit } from "../../src/image/difference.js";
import { Image } from "../../src/image/image.js";

/** Images of a few segments with gaps, over few byte values, so that equal bytes are common. */
const image = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 9 }), fc.uint8Array({ min: 1, max: 40 }), fc.nat(3)), { maxLength: 5 })
  .map((parts) => {
    let address = 0;
    const segments = parts.map(([gap, raw, shift]) => {
      // A view at any offset of a larger buffer: word-wise comparison must not rely on alignment.
      const buffer = new Uint8Array(raw.length + 4);
      const bytes = buffer.subarray(shift, shift + raw.length);
      bytes.set(raw.map((byte) => byte % 3));
      const segment = { address: address + gap, bytes };
      address = segment.address + bytes.length;
      return segment;
    });
    return Image.of(segments);
  });

describe("differenceOf", () => {
  it("says what a byte by byte comparison says", () => {
    fc.assert(
      fc.property(image, image, (a, b) => {
        const found = differenceOf(a, b);
        const equal = (one: Uint8Array, other: Uint8Array) => one.every((byte, i) => byte === other[i]);
        expect(differenceOf(a, b, { equal })).toEqual(found);
        const runs: number[] = [];
        const only: [number[], number[]] = [[], []];
        let compared = 0;
        for (let address = 0; address < 260; address++) {
          const [x, y] = [a.byteAt(address), b.byteAt(address)];
          if (x !== undefined && y !== undefined) {
            compared++;
            if (x !== y) runs.push(address);
          } else if (x !== undefined) only[0].push(address);
          else if (y !== undefined) only[1].push(address);
        }
        const flat = (spans: readonly { start: number; end: number }[]) =>
          spans.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i));
        expect(flat(found.runs)).toEqual(runs);
        expect(found.bytes).toBe(runs.length);
        expect(found.compared).toBe(compared);
        expect(flat(found.onlyFirst)).toEqual(only[0]);
        expect(flat(found.onlySecond)).toEqual(only[1]);
        for (const [i, run] of found.runs.entries()) expect(run.start > (found.runs[i - 1]?.end ?? -1)).toBe(true);
      }),
      { numRuns: 500 },
    );
  });

  it("goes on counting where it stops listing, and says from where on", () => {
    const size = 2 * (runLimit + 10);
    const a = Image.of([{ address: 0, bytes: new Uint8Array(size) }]);
    const b = Image.of([{ address: 0, bytes: new Uint8Array(size).map((_, i) => i % 2) }]);
    const found = differenceOf(a, b);
    expect(found.runs.length).toBe(runLimit);
    expect(found.bytes).toBe(runLimit + 10);
    expect(found.rest).toEqual([{ start: 2 * runLimit + 1, end: size }]);
    expect(alike(found)).toBe(false);
  });

  it("takes what it does not list for different, and nothing that only one of them knows", () => {
    const size = 2 * (runLimit + 10);
    const hole = { start: size, end: size + 100 };
    const far = { start: hole.end, end: hole.end + 50 };
    const other = (byte: number) => ({ address: far.start, bytes: new Uint8Array(50).fill(byte) });
    const a = Image.of([{ address: 0, bytes: new Uint8Array(hole.end) }, other(3)]);
    const b = Image.of([{ address: 0, bytes: new Uint8Array(size).map((_, i) => i % 2) }, other(4)]);
    const found = differenceOf(a, b);
    expect(found.rest).toEqual([{ start: 2 * runLimit + 1, end: size }, far]);
    const spans = differingSpans(found);
    expect(spans.length).toBe(runLimit + 2);
    expect(common(spans, [hole])).toEqual([]);
    // Between the last ten bytes that differ there are nine that do not.
    expect(totalLength(spans) - found.bytes).toBe(9);
  });

  it("joins a run across the blocks in which it works", () => {
    const a = Image.of([{ address: 3, bytes: new Uint8Array(200_000) }]);
    const b = Image.of([{ address: 3, bytes: new Uint8Array(200_000).fill(1) }]);
    expect(differenceOf(a, b).runs).toEqual([{ start: 3, end: 200_003 }]);
  });
});
