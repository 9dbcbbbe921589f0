import type { BinaryPolynomial } from "./binary-polynomial.js";
import { Field } from "./field.js";
import type { Site } from "./site.js";
import { type Recovered, valuesOf } from "./unknown-differences.js";
import { lowestFrom } from "./unknown-places.js";

/** Where a range may end, and how unusual that is. */
export interface End {
  readonly offset: number;
  readonly bits: number;
}

/** A CRC of few bits comes round often: so many ends are kept, the most usual ones. */
const mostEnds = 6;

/**
 * The ends that a recovered polynomial gives a range: behind its last difference, and not behind the next one that it does
 * not cover. `messages` are the differences between the first content and each other, as the guess has them.
 */
export function endsOf(
  site: Site,
  contents: readonly Uint8Array[],
  differing: Int32Array,
  { guess, order, reflected, poly }: Recovered,
  messages: readonly BinaryPolynomial[],
): End[] {
  const { stored, bytes, last } = guess;
  const width = 8 * bytes;
  const field = new Field(width, poly);
  const rests = messages.map((message) => restOf(message, field));
  const values = valuesOf(contents, stored, bytes, order, reflected);
  const { offsets, ends } = site.everyWord(bytes, 1);
  const limit = nextOutside(differing, last + 1, stored, bytes) ?? site.ground.length;
  const found: End[] = [];
  let power = field.power(width);
  for (let end = last + 1; end <= limit; end++) {
    const right = rests.every((rest, i) => field.multiply(rest, power) === values[i]);
    // The value is no part of its range, or all of it is.
    if (right && (end <= stored || end >= stored + bytes)) {
      const index = lowestFrom(offsets, end);
      const bits = offsets[index] === end ? (ends.bits[index] as number) : Number.POSITIVE_INFINITY;
      if (bits !== Number.POSITIVE_INFINITY) found.push({ offset: end, bits });
    }
    for (let i = 0; i < 8; i++) power = field.up(power);
  }
  return found.sort((a, b) => a.bits - b.bits).slice(0, mostEnds);
}

/** The first difference from `from` on that is not of the value. */
function nextOutside(differing: Int32Array, from: number, stored: number, bytes: number): number | undefined {
  let index = lowestFrom(differing, from);
  while ((differing[index] as number) >= stored && (differing[index] as number) < stored + bytes) index++;
  return differing[index];
}

/** What a long polynomial leaves. */
export function restOf(polynomial: BinaryPolynomial, field: Field): number {
  let rest = 0;
  for (let k = polynomial.length - 1; k >= 0; k--) {
    for (let bit = 31; bit >= 0; bit--) rest = field.up(rest) ^ (((polynomial[k] as number) >>> bit) & 1);
  }
  return rest;
}
