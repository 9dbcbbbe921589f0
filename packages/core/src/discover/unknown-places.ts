import { usualFirst } from "./boundaries.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** A value that may be a CRC of all that differs from `first` to `last`, both included, but for itself. */
export interface Guess {
  /** Where the value stands, and its bytes. */
  readonly stored: number;
  readonly bytes: 1 | 2 | 4;
  readonly first: number;
  readonly last: number;
  /** How unusual the range and the place are, in bits. */
  readonly bits: number;
}

/** So many boundaries are looked at on either side. */
const mostSides = 300;
/** A value inside its range stands no further from its end. */
const reach = 64;
/** More places are tried apart from their ranges only when there are few of both. */
const mostApart = 4000;
const mostGuesses = 20000;

/** The offsets at which any of `contents` has another byte than the first. */
export function differingIn(contents: readonly Uint8Array[]): Int32Array {
  const [first, ...others] = contents as readonly [Uint8Array, ...Uint8Array[]];
  const found: number[] = [];
  for (let at = 0; at < first.length; at++) {
    if (others.some((other) => other[at] !== first[at])) found.push(at);
  }
  return Int32Array.from(found);
}

/**
 * Where in a site there may be CRCs that are known nowhere: words that are another in each of `contents`, and what differs
 * behind, before or around them, up to boundaries of structure. The likeliest first.
 */
export function guessesIn(
  site: Site,
  contents: readonly Uint8Array[],
  differing: Int32Array,
  taken: ReadonlySet<number>,
): Guess[] {
  const guesses: Guess[] = [];
  for (const bytes of [4, 2, 1] as const) {
    const places = placesOf(site, contents, differing, bytes).filter((at) => {
      for (let i = 0; i < bytes; i++) if (taken.has(at + i)) return false;
      return true;
    });
    if (places.length > 0) guesses.push(...guessesAt(site, differing, bytes, places));
  }
  return guesses.sort((a, b) => a.bits - b.bits || a.last - a.first - (b.last - b.first)).slice(0, mostGuesses);
}

function placesOf(site: Site, contents: readonly Uint8Array[], differing: Int32Array, bytes: 1 | 2 | 4): number[] {
  const { address, length } = site.ground;
  const words = new Set(Array.from(differing, (at) => at - ((address + at) % bytes)));
  return [...words].filter((at) => {
    if (at < 0 || at + bytes > length) return false;
    const values = contents.map((content) => valueAt(content, at, bytes, "big"));
    return new Set(values).size === values.length && !values.some((value) => isTrivial(value, 8 * bytes));
  });
}

/** A boundary by what lies inside of it: for a start the index of the first difference behind it, for an end of the last before. */
interface Side {
  readonly offset: number;
  readonly index: number;
  readonly bits: number;
}

function guessesAt(site: Site, differing: Int32Array, bytes: 1 | 2 | 4, places: readonly number[]): Guess[] {
  const { offsets, starts, ends } = site.structure(bytes, 1);
  const sidesOf = (all: Float32Array, indexOf: (offset: number) => number): Side[] => {
    const best = new Map<number, Side>();
    for (const i of usualFirst(all, mostSides)) {
      const offset = offsets[i] as number;
      const [index, bits] = [indexOf(offset), all[i] as number];
      const there = best.get(index);
      if (index >= 0 && index < differing.length && (!there || bits < there.bits))
        best.set(index, { offset, index, bits });
    }
    return [...best.values()];
  };
  const firsts = sidesOf(starts.bits, (offset) => lowestFrom(differing, offset));
  const lasts = sidesOf(ends.bits, (offset) => lowestFrom(differing, offset) - 1);
  const [before, behind] = [beforeOf(differing), behindOf(differing)];
  const placeBits = Math.log2(places.length);
  const found = new Map<string, Guess>();
  const add = (stored: number, first: number, last: number, bits: number) => {
    const [from, to] = [behind(first, stored, bytes), before(last, stored, bytes)];
    if (from === undefined || to === undefined || from > to) return;
    const guess = { stored, bytes, first: from, last: to, bits };
    const name = `${stored}/${from}/${to}`;
    if ((found.get(name)?.bits ?? Number.POSITIVE_INFINITY) > bits) found.set(name, guess);
  };
  const apart = places.length * firsts.length * lasts.length <= mostApart;
  for (const stored of places) {
    const here = lowestFrom(differing, stored);
    const next = lowestFrom(differing, stored + bytes);
    for (const { offset, index, bits } of firsts)
      if (offset < stored) add(stored, index, here - 1, 1 + bits + placeBits);
    for (const { offset, index, bits } of lasts) if (offset > stored) add(stored, next, index, 2 + bits + placeBits);
    for (const start of firsts) {
      for (const end of lasts) {
        const inside = start.offset <= stored && end.offset >= stored + bytes;
        const near = inside && (stored - start.offset < reach || end.offset - stored - bytes < reach);
        if (near) add(stored, start.index, end.index, 3 + start.bits + end.bits);
        else if (apart && !inside) add(stored, start.index, end.index, 4 + start.bits + end.bits + placeBits);
      }
    }
  }
  return [...found.values()];
}

/** The index of the lowest of sorted `all` that is no lower than `limit`. */
export function lowestFrom(all: Int32Array, limit: number): number {
  let low = 0;
  let high = all.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((all[middle] as number) < limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The difference at an index, or the nearest one before or behind it that is not of the value itself. */
function beforeOf(differing: Int32Array) {
  return (index: number, stored: number, bytes: number): number | undefined => {
    let at = index;
    while (at >= 0 && (differing[at] as number) >= stored && (differing[at] as number) < stored + bytes) at--;
    return differing[at];
  };
}

function behindOf(differing: Int32Array) {
  return (index: number, stored: number, bytes: number): number | undefined => {
    let at = index;
    while ((differing[at] as number) >= stored && (differing[at] as number) < stored + bytes) at++;
    return differing[at];
  };
}
