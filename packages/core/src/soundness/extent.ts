import type { FillRun } from "./fill.js";

/** How far the read reaches, and what sizes there are to hold it against. */
export interface Extent {
  readonly bytes: number;
  /** Whether the size is one that memory parts, or two of them together, have. */
  readonly partLike: boolean;
  readonly odd: boolean;
  /** Sizes that the profile allows; empty when none says so. */
  readonly allowed: readonly number[];
  /** Fill at the end, in bytes. */
  readonly tail: number;
}

/** Odd factors of sizes that parts have: 3, 5, 7 ... times a power of two, and a part with a small one beside it. */
const largestFactor = 33;

/** The extent of `length` bytes. */
export function extentOfRead(length: number, runs: readonly FillRun[], allowed: readonly number[]): Extent {
  const last = runs.at(-1);
  return {
    bytes: length,
    partLike: isPartLike(length),
    odd: length % 2 === 1,
    allowed,
    tail: last?.end === length ? last.end - last.start : 0,
  };
}

/** Whether `length` is a power of two of at least 128 bytes, times a small odd number. */
export function isPartLike(length: number): boolean {
  let rest = length;
  let power = 1;
  while (rest > 0 && rest % 2 === 0) {
    rest /= 2;
    power *= 2;
  }
  return power >= 128 && rest <= largestFactor;
}
