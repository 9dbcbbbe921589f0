import fc from "fast-check";
import { toHex } from "../../src/bytes/hex.js";
import type { Pairs, PartInput, Segments } from "./vectors.js";

/** Where small memories of random cases lie: at both ends of the address range and around the sign bit. */
const bases = [0, 0x1f1, 0x7fffff80, 2 ** 32 - 400];

/** Disjoint segments, some touching, within 400 bytes from `base`; FF and 00 are frequent. */
const segmentsAt = (base: number): fc.Arbitrary<Segments> => {
  const byte = fc.oneof({ weight: 3, arbitrary: fc.constant(0xff) }, fc.constant(0), fc.integer({ min: 0, max: 255 }));
  const piece = fc.tuple(fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 40 })), fc.array(byte, { maxLength: 40 }));
  return fc.array(piece, { maxLength: 8 }).chain((pieces) => {
    const segments: [number, string][] = [];
    let at = base;
    for (const [gap, bytes] of pieces) {
      at += gap;
      const room = Math.min(bytes.length, base + 400 - at);
      if (room <= 0) continue;
      segments.push([at, toHex(Uint8Array.from(bytes.slice(0, room)))]);
      at += room;
    }
    return fc.shuffledSubarray(segments, { minLength: segments.length });
  });
};

const spansAt = (base: number, maxLength: number): fc.Arbitrary<Pairs> =>
  fc.array(
    fc
      .tuple(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 400 }))
      .map(([a, b]): [number, number] => [base + Math.min(a, b), base + Math.max(a, b)]),
    { maxLength },
  );

const partAt = (base: number): fc.Arbitrary<PartInput> =>
  fc.record({
    spans: spansAt(base, 3),
    masked: spansAt(base, 3),
    erased: fc.constantFrom(null, 255, 0, 0xa5),
  });

/** A memory and a part of it. */
export const fingerprintCase = fc
  .constantFrom(...bases)
  .chain((base) => fc.record({ segments: segmentsAt(base), part: partAt(base) }));

export const contentCase = fc.constantFrom(...bases).chain((base) => fc.record({ segments: segmentsAt(base) }));

export const digestCase = fc.uint8Array({ minLength: 32, maxLength: 32 }).map((bytes) => ({ digest: toHex(bytes) }));

/** The seed of this run: a run that failed is repeated with ASSAY_SEED set to the number in the test's name. */
export const seed = Number(process.env.ASSAY_SEED ?? Math.floor(Math.random() * 2 ** 31));
