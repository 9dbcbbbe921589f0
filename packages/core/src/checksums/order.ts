import { Remaining } from "../bytes/remaining.js";
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
  const early = ready(jobs, places);
  const first = new Set(early);
  const rest = jobs.map((_, index) => index).filter((index) => !first.has(index));
  const late = rest.length === 0 ? [] : neededByNone(jobs, places, new Set(rest));
  const placed = new Set([...early, ...late]);
  const pick = (indexes: readonly number[]) => indexes.map((index) => jobs[index] as Job);
  return { order: pick([...early, ...late.reverse()]), circular: jobs.filter((_, index) => !placed.has(index)) };
}

interface Place extends Span {
  readonly index: number;
}

/**
 * The jobs that can be done one after the other. Each that cannot yet waits for one of its places at a time, so that
 * thousands over the same places cost no more than their number.
 */
function ready(jobs: readonly Dependent[], places: readonly Place[]): number[] {
  const longest = longestOf(places);
  const positions = new Map(places.map(({ index }, position) => [index, position]));
  const open = new Remaining(places.length);
  const waiting = new Map<number, number[]>();
  const blocking = (index: number): number | undefined => {
    for (const span of (jobs[index] as Dependent).from) {
      for (let i = open.from(firstFrom(places, span.start - longest)); i < places.length; i = open.from(i + 1)) {
        const place = places[i] as Place;
        if (place.start >= span.end) break;
        if (place.index !== index && overlap(place, span)) return place.index;
      }
    }
    return undefined;
  };
  const done: number[] = [];
  const queue = jobs.map((_, index) => index);
  // Grows while it is gone through.
  for (const index of queue) {
    const other = blocking(index);
    if (other !== undefined) {
      const others = waiting.get(other);
      if (others) others.push(index);
      else waiting.set(other, [index]);
      continue;
    }
    done.push(index);
    open.take(positions.get(index) as number);
    queue.push(...(waiting.get(index) ?? []));
  }
  return done;
}

function longestOf(places: readonly Span[]): number {
  return places.reduce((most, { start, end }) => Math.max(most, end - start), 0);
}

/** So many dependencies are followed where there are circles: of more, what stands behind a circle is not told from it. */
const dependenciesFollowed = 2 ** 20;

/** Of the jobs `rest`, which circles keep from being done: those that nothing needs, one after the other. */
function neededByNone(jobs: readonly Dependent[], places: readonly Place[], rest: ReadonlySet<number>): number[] {
  const longest = longestOf(places);
  const needs = jobs.map(() => new Set<number>());
  const neededBy = jobs.map(() => new Set<number>());
  let followed = 0;
  for (const index of rest) {
    for (const span of (jobs[index] as Dependent).from) {
      for (let i = firstFrom(places, span.start - longest); i < places.length; i++) {
        const place = places[i] as Place;
        if (place.start >= span.end) break;
        if (place.index === index || !rest.has(place.index) || !overlap(place, span)) continue;
        if (++followed > dependenciesFollowed) return [];
        needs[index]?.add(place.index);
        neededBy[place.index]?.add(index);
      }
    }
  }
  return peeled(neededBy, needs).filter((index) => rest.has(index));
}

/** What can be taken away one after the other, each needing nothing that is still there. */
function peeled(needs: readonly ReadonlySet<number>[], neededBy: readonly ReadonlySet<number>[]): number[] {
  const waiting = needs.map(({ size }) => size);
  const taken = waiting.flatMap((count, index) => (count === 0 ? [index] : []));
  for (let i = 0; i < taken.length; i++) {
    for (const index of neededBy[taken[i] as number] ?? []) {
      const left = (waiting[index] as number) - 1;
      waiting[index] = left;
      if (left === 0) taken.push(index);
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
