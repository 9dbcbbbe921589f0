import type { Census } from "./census.js";
import { type Correction, pairMaps } from "./corrections.js";
import { arranged, type Candidate, candidateOf, rankOf, rivalDeviations } from "./order/candidate.js";
import { commonestPairs, commonestScore } from "./order/commonest.js";
import { isArrangement, mostContinuous } from "./order/continuity.js";
import { kindsMet } from "./order/kinds-met.js";
import { type Legibility, legibilityOf, scoreOf, tellingPairs } from "./order/legibility.js";
import { sampled } from "./order/legible-sample.js";
import { sourcesOf, windows, windowsIn } from "./order/windows.js";

/** Whether another order of bytes, bits or lines makes the content legible. */
export interface Order {
  /** Pairs of bytes that can tell anything: no fill, no small numbers. */
  readonly pairs: number;
  readonly asIs: Legibility;
  /** The correction that gains most. */
  readonly best: Candidate | undefined;
  /** How many different pairs make up what it makes legible, each counted by its share (the inverse of Simpson's index). */
  readonly kinds: number;
  /** Share of the pairs, but those of 00 and FF, in which the second byte is the complement of the first. */
  readonly complements: number;
}

/** Where the usual windows decide nearly, but not surely, so many are looked at. */
const windowsInDoubt = 4096;
const doubtFrom = 4;
const doubtTo = 12;
/** Windows of a short look, and how many times as legible it must be for a long one. */
const firstLook = 64;
const worthALook = 1.1;
/** How many times as legible the commonest pairs must be for all of them to be counted. */
const worthCounting = 1.05;

/** How legible the content is as it stands, and the correction that makes it most legible. */
export function measureOrder(bytes: Uint8Array, blocks: Uint8Array, census: Census): Order {
  const pairs = tellingPairs(census);
  const asIs = legibilityOf(census, pairs);
  let best: Candidate | undefined;
  const rivals: Candidate[] = [];
  const offer = (candidate: Candidate) => {
    if (!best || rankOf(candidate) > rankOf(best)) best = candidate;
    if (candidate.deviations >= rivalDeviations && isArrangement(candidate)) rivals.push(candidate);
  };
  const commonest = commonestPairs(census);
  const enoughOfThem = commonestScore(commonest, census, undefined) * worthCounting;
  for (const map of pairMaps()) {
    // The commonest pairs rule out nearly all of these; what they leave is counted in full.
    if (commonestScore(commonest, census, map) < enoughOfThem) continue;
    offer(candidateOf(map.correction, legibilityOf(census, pairs, map), asIs, pairs));
  }
  const everywhere = sampled(bytes, windowsIn(blocks, bytes.length, undefined, windows), undefined);
  const both = (correction: Correction, count: number) => {
    // Held against what the same bytes say as they stand, too: elsewhere there may be less code, or less text.
    const places = windowsIn(blocks, bytes.length, correction, count);
    const plain = sampled(bytes, sourcesOf(places, correction, bytes.length), undefined);
    return { found: sampled(bytes, places, correction), plain };
  };
  const held = (correction: Correction, { found, plain }: ReturnType<typeof both>) => {
    const own = arranged(correction, found, plain);
    const other = arranged(correction, found, everywhere);
    return own.deviations <= other.deviations ? own : other;
  };
  for (const correction of arrangements(bytes.length)) {
    // A short look rules nearly all of them out. Of the exchanged lines there are many, so theirs is shorter.
    const many = correction.kind === "exchange-address-lines";
    const look = both(correction, many ? firstLook : 2 * firstLook);
    if (scoreOf(look.found.legibility) < (many ? worthALook : 1) * scoreOf(look.plain.legibility)) continue;
    const candidate = held(correction, both(correction, windows));
    const { deviations } = candidate;
    if (many || blocks.length <= windows || deviations < doubtFrom || deviations > doubtTo) offer(candidate);
    else {
      const more = both(correction, windowsInDoubt);
      offer(arranged(correction, more.found, more.plain));
    }
  }
  const chosen = best && mostContinuous(bytes, blocks, best, rivals);
  const kinds = chosen ? kindsMet(bytes, blocks, census, chosen) : 0;
  return { pairs, asIs, best: chosen, kinds, complements: complementsIn(census) };
}

/** Every rearrangement of bytes that is looked for. */
function* arrangements(length: number): Generator<Correction> {
  for (const kind of ["swap-16", "swap-32", "swap-halves-32"] as const) yield { kind };
  if (length % 4 === 0) {
    for (const kind of ["interleave", "interleave-16", "separate", "separate-16"] as const) yield { kind };
  }
  for (const first of [0, 1, 2]) {
    for (let second = first + 1; 2 ** (second + 1) <= length; second++) {
      // Exchanging A0 with A1 swaps the middle bytes of words; A1 with A2 the middle pairs of eight bytes.
      yield { kind: "exchange-address-lines", first, second };
    }
  }
}

/** The share of pairs of a byte and its complement. */
function complementsIn({ even, odd, words }: Census): number {
  const of = (pair: number) => (even[pair] as number) + (odd[pair] as number);
  let complements = 0;
  for (let byte = 1; byte < 255; byte++) complements += of(byte * 256 + (byte ^ 0xff));
  return complements / Math.max(1, 2 * words - of(0x00ff) - of(0xff00) - of(0) - of(0xffff));
}
