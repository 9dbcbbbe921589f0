import { type Correction, gather } from "../corrections.js";
import { type Candidate, rankOf } from "./candidate.js";
import { isTelling } from "./legibility.js";
import { windowLength, windows, windowsIn } from "./windows.js";

/** Arrangements are held against the best one when they gain nearly as much as it does. */
const nearlyAsMuch = 0.85;
/** By so many deviations of their counts more sequences must be met again. */
const moreContinuous = 3;

/** Corrections that leave every byte, or every pair, where it is. */
const bitKinds: ReadonlySet<Correction["kind"]> = new Set<Correction["kind"]>([
  "reverse-bits",
  "invert-bits",
  "swap-nibbles",
  "swap-16-reverse-bits",
  "exchange-data-lines",
]);

/** Whether `candidate` moves bytes, so that others stand beside each other. */
export function isArrangement({ correction: { kind } }: Candidate): boolean {
  return !bitKinds.has(kind);
}

/**
 * Of arrangements that put the same bytes beside each other the one in which content also goes on from pair to pair:
 * exchanged lines A0 and A1, and two parts that were interleaved, make the same pairs in another order.
 */
export function mostContinuous(
  bytes: Uint8Array,
  blocks: Uint8Array,
  best: Candidate,
  rivals: readonly Candidate[],
): Candidate {
  if (!isArrangement(best) || rivals.length < 2) return best;
  const rank = rankOf(best);
  let most = best;
  let met = metAgain(bytes, blocks, best.correction);
  for (const rival of rivals) {
    if (rival === best || rankOf(rival) < nearlyAsMuch * rank) continue;
    const own = metAgain(bytes, blocks, rival.correction);
    if (own - met < moreContinuous * Math.sqrt(own + met)) continue;
    [most, met] = [rival, own];
  }
  return most;
}

/** Marks for sequences, as a power of two: sparse for the few thousand that a sample holds. */
const sequenceBits = 17;

/** How many telling sequences of four bytes a sample of the arranged content holds more than once. */
function metAgain(bytes: Uint8Array, blocks: Uint8Array, correction: Correction): number {
  const marks = new Uint8Array(2 ** sequenceBits);
  const window = new Uint8Array(windowLength);
  let again = 1;
  for (const at of windowsIn(blocks, bytes.length, correction, windows)) {
    gather(bytes, correction, at, window);
    for (let i = 0; i + 4 <= windowLength; i += 2) {
      const first = ((window[i] as number) << 8) | (window[i + 1] as number);
      const second = ((window[i + 2] as number) << 8) | (window[i + 3] as number);
      if (!isTelling(first) || !isTelling(second)) continue;
      const slot = Math.imul((first << 16) | second, 0x9e3779b1) >>> (32 - sequenceBits);
      if (marks[slot]) again++;
      marks[slot] = 1;
    }
  }
  return again;
}
