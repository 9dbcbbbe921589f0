import type { Correction } from "../corrections.js";
import { type Legibility, scoreOf } from "./legibility.js";
import type { Sampled } from "./legible-sample.js";

/** A correction, what it makes legible, and what the same bytes are as they stand. */
export interface Candidate {
  readonly correction: Correction;
  readonly legibility: Legibility;
  readonly asIs: Legibility;
  /** Pairs that the shares are of. */
  readonly pairs: number;
  /** How many times as legible as it stands. */
  readonly gain: number;
  /** The same in standard deviations of the counts. */
  readonly deviations: number;
}

/** From so many deviations on a gain is none of chance. */
export const rivalDeviations = 5;

/** What `correction` gains over the same `pairs` as they stand. */
export function candidateOf(correction: Correction, found: Legibility, asIs: Legibility, pairs: number): Candidate {
  const [now, then] = [scoreOf(found) * pairs, scoreOf(asIs) * pairs];
  return {
    correction,
    legibility: found,
    asIs,
    pairs,
    gain: now / Math.max(1, then),
    deviations: (now - then) / Math.sqrt(Math.max(1, now + then)),
  };
}

/**
 * What stands beside fill in every pair tells nothing as it is: the arranged sample says how much there is to tell.
 * Exchanged halves leave every pair as it is. Where code does not mind, only text that goes on from pair to pair tells.
 */
export function arranged(
  correction: Correction,
  { pairs, legibility: found }: Sampled,
  { legibility: asIs }: Sampled,
): Candidate {
  const candidate = candidateOf(correction, found, asIs, pairs);
  if (correction.kind !== "swap-halves-32" || found.code < 0.97 * asIs.code) return candidate;
  const [now, then] = [found.across * pairs, asIs.across * pairs];
  const gain = now / Math.max(1, then);
  const deviations = (now - then) / Math.sqrt(Math.max(1, now + then));
  return gain > candidate.gain ? { ...candidate, gain, deviations } : candidate;
}

/**
 * Gains in deviations, as if all had been counted over as many pairs. Exchanging A0 with the top line brings the same
 * bytes beside each other as putting two parts together does, only the pairs are then out of order: so the other
 * explanation comes first when both gain alike.
 */
export function rankOf({ correction, deviations, pairs }: Candidate): number {
  // Where little stands beside each other chance gains much: what means nothing comes behind all that does.
  if (deviations < rivalDeviations) return deviations - 1000;
  const rank = deviations / Math.sqrt(Math.max(1, pairs));
  return correction.kind === "exchange-address-lines" ? 0.9 * rank : rank;
}
