import { overlap, type Span } from "../bytes/span.js";

/** Something that is written to one place and computed from others. */
export interface Dependent {
  readonly at: Span;
  /** What it is computed from; its own place may be among it. */
  readonly from: readonly Span[];
}

/**
 * `jobs` so that each comes after all whose places it is computed from, and those for which there is no such order:
 * they stand in a circle, or between two circles.
 */
export function inOrder<Job extends Dependent>(
  jobs: readonly Job[],
): { readonly order: readonly Job[]; readonly circular: readonly Job[] } {
  const places = jobs.map((job, index) => ({ ...job.at, index })).sort((a, b) => a.start - b.start);
  const longest = Math.max(0, ...places.map(({ start, end }) => end - start));
  const needs = jobs.map(() => new Set<number>());
  const neededBy = jobs.map(() => new Set<number>());
  for (const [index, job] of jobs.entries()) {
    for (const span of job.from) {
      for (let i = firstFrom(places, span.start - longest); i < places.length; i++) {
        const place = places[i] as (typeof places)[number];
        if (place.start >= span.end) break;
        if (place.index === index || !overlap(place, span)) continue;
        needs[index]?.add(place.index);
        neededBy[place.index]?.add(index);
      }
    }
  }
  const early = peeled(needs, neededBy);
  const late = peeled(neededBy, needs, new Set(early));
  const placed = new Set([...early, ...late]);
  const pick = (indexes: readonly number[]) => indexes.map((index) => jobs[index] as Job);
  return { order: pick([...early, ...late.reverse()]), circular: jobs.filter((_, index) => !placed.has(index)) };
}

/** What can be taken away one after the other, each needing nothing that is still there. */
function peeled(
  needs: readonly ReadonlySet<number>[],
  neededBy: readonly ReadonlySet<number>[],
  gone: ReadonlySet<number> = new Set(),
): number[] {
  const waiting = needs.map((set) => [...set].filter((index) => !gone.has(index)).length);
  const taken = waiting.flatMap((count, index) => (count === 0 && !gone.has(index) ? [index] : []));
  for (let i = 0; i < taken.length; i++) {
    for (const index of neededBy[taken[i] as number] ?? []) {
      const left = (waiting[index] as number) - 1;
      waiting[index] = left;
      if (left === 0 && !gone.has(index)) taken.push(index);
    }
  }
  return taken;
}

/** The index of the first place that starts at `address` or above. */
function firstFrom(places: readonly Span[], address: number): number {
  let low = 0;
  let high = places.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((places[middle] as Span).start < address) low = middle + 1;
    else high = middle;
  }
  return low;
}
