import type { Judged } from "./chance.js";
import type { Hit } from "./hit.js";

/** Values of one table stand no further from each other than this. */
const farthest = 32;
/** What the place of a further value of a table costs, once that of another is known. */
const bitsOfNext = 4;

/**
 * Better odds for hits whose values stand near each other, apart from their ranges: a table of checksums. Where one of
 * them stands says where the next one does.
 */
export function tabled(hits: readonly Hit[], placeBits: (hit: Hit) => number): Judged[] {
  const best = new Map<Hit, number>();
  const sorted = [...hits].sort((a, b) => a.stored - b.stored);
  for (let from = 0; from < sorted.length; ) {
    let to = from + 1;
    while (to < sorted.length && (sorted[to] as Hit).stored - (sorted[to - 1] as Hit).stored <= farthest) to++;
    const run = sorted.slice(from, to);
    from = to;
    const one = bestOfEach(run);
    if (one.length < 2) continue;
    const first = one[0] as Hit;
    let bits = first.schemeBits + placeBits(first);
    for (const hit of one) bits += hit.rangeBits - placeBits(hit) + bitsOfNext + 1 - hit.evidence;
    for (const hit of one) {
      const alone = hit.rangeBits - placeBits(hit) + bitsOfNext - hit.evidence;
      best.set(hit, Math.max(bits, alone));
    }
  }
  return [...best].map(([hit, bits]) => ({ hit, expectedByChance: 2 ** bits }));
}

/** At each place the simplest hit only, no two of one range. */
function bestOfEach(run: readonly Hit[]): Hit[] {
  const byPlace = new Map<number, Hit>();
  for (const hit of run) {
    const there = byPlace.get(hit.stored);
    if (!there || hit.rangeBits - hit.evidence < there.rangeBits - there.evidence) byPlace.set(hit.stored, hit);
  }
  const ranges = new Set<string>();
  return [...byPlace.values()].filter(({ start, end }) => {
    const range = `${start}:${end}`;
    if (ranges.has(range)) return false;
    ranges.add(range);
    return true;
  });
}
