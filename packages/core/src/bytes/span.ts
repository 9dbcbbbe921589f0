/**
 * Runs of addresses and the set algebra on them. An address counts bytes from 0; the last one is 2**32 - 1.
 * What lies above is not memory that this library describes: every door refuses it.
 */

/** A half-open run of addresses: `start` is inside, `end` is just past. Both from 0 to 2**32. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** One past the last address. A legal `end`, never a legal `start` of anything that is not empty. */
export const MEMORY_END = 2 ** 32;

/**
 * The span of `length` bytes from `start`.
 * @throws RangeError when it is not inside 0 to 2**32
 */
export function spanOf(start: number, length: number): Span {
  return checkedSpan({ start, end: start + length });
}

/**
 * `span`, when its ends are whole numbers in order and inside 0 to 2**32.
 * @throws RangeError otherwise
 */
export function checkedSpan(span: Span): Span {
  const { start, end } = span;
  if (!Number.isSafeInteger(start) || !Number.isSafeInteger(end) || start < 0 || end < start || end > MEMORY_END) {
    throw new RangeError(`span: expected 0 <= start <= end <= ${MEMORY_END}, got ${start}..${end}`);
  }
  return span;
}

/** Its size in bytes. */
export function lengthOf(span: Span): number {
  return span.end - span.start;
}

/** The bytes that all `spans` hold together, each counted as often as it occurs. */
export function totalLength(spans: readonly Span[]): number {
  let total = 0;
  for (const span of spans) total += lengthOf(span);
  return total;
}

/** Whether every address of `inner` is in `outer`. An empty span is inside whatever touches it. */
export function contains(outer: Span, inner: Span): boolean {
  return inner.start >= outer.start && inner.end <= outer.end;
}

/** Whether at least one address is in both. */
export function overlap(a: Span, b: Span): boolean {
  return a.start < b.end && b.start < a.end && a.start < a.end && b.start < b.end;
}

/** The addresses that are in both, or undefined when there are none. */
export function intersection(a: Span, b: Span): Span | undefined {
  const start = Math.max(a.start, b.start);
  const end = Math.min(a.end, b.end);
  return start < end ? { start, end } : undefined;
}

/** The first addresses that two of `spans` hold, or undefined when none are in two. */
export function firstTwice(spans: readonly Span[]): Span | undefined {
  const sorted = [...spans].sort((a, b) => a.start - b.start);
  let last: Span | undefined;
  for (const span of sorted) {
    const shared = last && intersection(last, span);
    if (shared) return shared;
    if (!last || span.end > last.end) last = span;
  }
  return undefined;
}

/** Whether both are the same spans in the same order. */
export function sameSpans(a: readonly Span[], b: readonly Span[]): boolean {
  return a.length === b.length && a.every((span, i) => span.start === b[i]?.start && span.end === b[i]?.end);
}

/** The same addresses as sorted, disjoint, non-adjacent, non-empty spans. */
export function normalised(spans: readonly Span[]): Span[] {
  const sorted = spans.filter((span) => span.end > span.start).sort((a, b) => a.start - b.start);
  const merged: Span[] = [];
  for (const span of sorted) {
    const last = merged.at(-1);
    if (last && span.start <= last.end) {
      if (span.end > last.end) merged[merged.length - 1] = { start: last.start, end: span.end };
    } else merged.push(span);
  }
  return merged;
}

/** The addresses of `spans` that are in none of `without`, normalised. */
export function subtract(spans: readonly Span[], without: readonly Span[]): Span[] {
  const holes = normalised(without);
  const rest: Span[] = [];
  let first = 0; // holes before this index end before every span still to come
  for (const span of normalised(spans)) {
    while (first < holes.length && (holes[first] as Span).end <= span.start) first++;
    let start = span.start;
    for (let i = first; i < holes.length && (holes[i] as Span).start < span.end; i++) {
      const hole = holes[i] as Span;
      if (hole.start > start) rest.push({ start, end: hole.start });
      start = Math.max(start, hole.end);
    }
    if (start < span.end) rest.push({ start, end: span.end });
  }
  return rest;
}

/** The addresses that are in one of `a` and in one of `b`, normalised. */
export function common(a: readonly Span[], b: readonly Span[]): Span[] {
  const left = normalised(a);
  const right = normalised(b);
  const both: Span[] = [];
  for (let i = 0, j = 0; i < left.length && j < right.length; ) {
    const x = left[i] as Span;
    const y = right[j] as Span;
    const shared = intersection(x, y);
    if (shared) both.push(shared);
    if (x.end < y.end) i++;
    else j++;
  }
  return both;
}
