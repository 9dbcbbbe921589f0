import { Remaining } from "../bytes/remaining.js";
import { intersection, normalised, type Span, subtract } from "../bytes/span.js";
import type { FollowingChecksum } from "./following.js";

/** A stored checksum that differs for a reason, and where it does. */
export interface FollowedChecksum {
  readonly name: string;
  readonly spans: readonly Span[];
}

/** What is known of `differing` before any checksum is asked. */
export interface ReasonsGiven {
  /** Where a difference has its reason already. */
  readonly explained: readonly Span[];
  /** Where nothing that follows can give one. */
  readonly closed: readonly Span[];
}

/**
 * The checksums that hold in both units and follow from nothing but differences with a reason: one of those given, or
 * another checksum that follows. Every one waits for one difference at a time, so a long chain of them costs no more
 * than its links.
 */
export function followedChecksums(
  checksums: readonly FollowingChecksum[],
  differing: readonly Span[],
  { explained, closed }: ReasonsGiven,
): readonly FollowedChecksum[] {
  const runs = normalised(differing);
  const holding = checksums.filter(
    ({ holdsInBoth, covered, storedAt }) => holdsInBoth && reachOutside(covered, runs, storedAt),
  );
  const pieces = cutAt(subtract(runs, explained), [...holding.map(({ storedAt }) => storedAt), ...closed]);
  const left = new Unexplained(pieces, normalised(closed));
  const waiting = new Map<number, FollowingChecksum[]>();
  const followed: FollowedChecksum[] = [];
  const queue = [...holding];
  // Grows while it is gone through.
  for (const checksum of queue) {
    const blocking = left.firstOf(checksum.covered, checksum.storedAt);
    if (blocking !== undefined) {
      const others = waiting.get(blocking);
      if (others) others.push(checksum);
      else waiting.set(blocking, [checksum]);
      continue;
    }
    const taken = left.take(checksum.storedAt);
    if (taken.length > 0) followed.push({ name: checksum.name, spans: taken.map((i) => pieces[i] as Span) });
    for (const piece of taken) queue.push(...(waiting.get(piece) ?? []));
  }
  return followed;
}

/** Whether one of `runs` (sorted, disjoint) that lies in `covered` does so outside of `own` too. */
export function reachOutside(covered: readonly Span[], runs: readonly Span[], own: Span): boolean {
  return covered.some((span) => {
    for (let i = firstFrom(runs, span.start); i < runs.length; i++) {
      const shared = intersection(runs[i] as Span, span);
      if (!shared) return false;
      if (shared.start < own.start || shared.end > own.end) return true;
    }
    return false;
  });
}

/** `runs` (sorted), cut where one of `places` begins or ends. */
function cutAt(runs: readonly Span[], places: readonly Span[]): readonly Span[] {
  const borders = [...new Set(places.flatMap(({ start, end }) => [start, end]))].sort((a, b) => a - b);
  const pieces: Span[] = [];
  let next = 0; // borders before this one lie before every run still to come
  for (const { start, end } of runs) {
    while (next < borders.length && (borders[next] as number) <= start) next++;
    let from = start;
    for (; next < borders.length && (borders[next] as number) < end; next++) {
      pieces.push({ start: from, end: borders[next] as number });
      from = borders[next] as number;
    }
    pieces.push({ start: from, end });
  }
  return pieces;
}

/** The index of the first of `spans` (sorted, disjoint) that ends behind `address`. */
function firstFrom(spans: readonly Span[], address: number): number {
  let low = 0;
  let high = spans.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((spans[middle] as Span).end <= address) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Pieces that have no reason yet. */
class Unexplained {
  readonly #remaining: Remaining;

  constructor(
    readonly pieces: readonly Span[],
    readonly closed: readonly Span[],
  ) {
    this.#remaining = new Remaining(pieces.length);
  }

  /** The first that lies in one of `spans` and not in `own`. */
  firstOf(spans: readonly Span[], own: Span): number | undefined {
    for (const span of spans) {
      for (const i of this.#within(span)) {
        const piece = this.pieces[i] as Span;
        if (piece.start < own.start || piece.end > own.end) return i;
      }
    }
    return undefined;
  }

  /** Takes out what lies in `place` and may have a reason, and gives the indexes of it. */
  take(place: Span): readonly number[] {
    const taken = [...this.#within(place)].filter((i) => !this.#isClosed(this.pieces[i] as Span));
    for (const i of taken) this.#remaining.take(i);
    return taken;
  }

  *#within(span: Span): Generator<number, void, undefined> {
    const { pieces } = this;
    for (let i = this.#remaining.from(firstFrom(pieces, span.start)); i < pieces.length; ) {
      if ((pieces[i] as Span).start >= span.end) return;
      yield i;
      i = this.#remaining.from(i + 1);
    }
  }

  #isClosed(piece: Span): boolean {
    const next = this.closed[firstFrom(this.closed, piece.start)];
    return next !== undefined && next.start < piece.end;
  }
}
