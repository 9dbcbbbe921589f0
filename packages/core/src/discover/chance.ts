import type { Hit } from "./hit.js";

/** Below the first it is certain, below the second likely. */
export const CERTAIN_BELOW = 1e-6;
export const LIKELY_BELOW = 1e-2;

export type Certainty = "certain" | "likely" | "chance";

/** A hit with the number of hits at least as simple that chance would bring in the whole search. */
export interface Judged {
  readonly hit: Hit;
  readonly expectedByChance: number;
}

export function certaintyOf(expectedByChance: number): Certainty {
  return expectedByChance < CERTAIN_BELOW ? "certain" : expectedByChance < LIKELY_BELOW ? "likely" : "chance";
}

/** The expectation of a hit alone, as a logarithm to base 2. */
export function aloneOf({ schemeBits, rangeBits, evidence }: Hit): number {
  return schemeBits + rangeBits - evidence;
}

/**
 * Each of `hits` with its odds. All are of one scheme: the same algorithm, byte order and kind of place. Each hit has a
 * share 2^-bits of a belief that adds up to one over all that could be found, and comes out right by chance with
 * 2^-evidence: so chance brings at most t hits for which 2^(bits - evidence) is t or less. Several hits of one scheme pay
 * for it once. When some of them establish it, any other only has to be unlikely within it.
 */
export function judged(hits: readonly Hit[], seen: (hit: Hit) => string): Judged[] {
  const independent = independentOf(hits, seen);
  const scheme = independent[0]?.schemeBits ?? 0;
  const within = independent.map((hit, i) =>
    withinScheme(
      hit,
      independent.filter((_, k) => k !== i),
    ),
  );
  const order = independent.map((_, i) => i).sort((a, b) => (within[a] as number) - (within[b] as number));
  const together: number[] = [];
  let sum = scheme;
  for (const [k, i] of order.entries()) {
    // The hits of a set may be named in any order, and how many there are has to be said.
    sum += rangeOdds(independent[i] as Hit) + 1 - Math.log2(k + 1);
    together.push(sum);
  }
  const odds = new Map<Hit, number>();
  for (const [k, i] of order.entries()) {
    const hit = independent[i] as Hit;
    let best = aloneOf(hit);
    for (let last = Math.max(1, k); last < order.length; last++) {
      best = Math.min(best, Math.max(together[last] as number, within[i] as number));
    }
    odds.set(hit, best);
  }
  return hits.map((hit) => ({ hit, expectedByChance: 2 ** (odds.get(hit) ?? aloneOf(hit)) }));
}

function rangeOdds({ rangeBits, evidence }: Hit): number {
  return rangeBits - evidence;
}

/** What a hit still has to prove when its scheme is known: less where another is of the same kind of range. */
function withinScheme(hit: Hit, others: readonly Hit[]): number {
  const alike = others.some(({ kind, ground }) => kind === hit.kind && ground === hit.ground);
  return rangeOdds(hit) - (alike ? Math.max(0, hit.kindBits - 1) : 0);
}

/** The simplest hits that no other implies: no two of one place, or of one value, or of one range. */
function independentOf(hits: readonly Hit[], seen: (hit: Hit) => string): Hit[] {
  const kept: Hit[] = [];
  const places = new Set<string>();
  for (const hit of [...hits].sort((a, b) => rangeOdds(a) - rangeOdds(b))) {
    const names = [
      `at ${hit.ground} ${hit.stored}`,
      `holds ${seen(hit)}`,
      `over ${hit.ground} ${hit.start} ${hit.end}`,
    ];
    if (names.some((name) => places.has(name))) continue;
    for (const name of names) places.add(name);
    kept.push(hit);
  }
  return kept;
}
