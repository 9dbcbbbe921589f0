import { type Judged, LIKELY_BELOW } from "./chance.js";
import type { Hit } from "./hit.js";
import type { Core } from "./shifted.js";

/**
 * One explanation for each thing found, the one that chance explains worst: a place has one meaning; a range and its
 * value again by an algorithm that does the same, a range with a run of zeros more or less, and whole sums that follow
 * from others are left out.
 */
export function reduced(
  all: readonly Judged[],
  bytesOf: (hit: Hit) => number,
  coreOf: (ground: number, start: number, end: number) => Core,
): Judged[] {
  const kept: Judged[] = [];
  const withValue = (hit: Hit) => {
    const last = hit.stored + bytesOf(hit);
    return coreOf(hit.ground, Math.min(hit.start, hit.stored), Math.max(hit.end, last));
  };
  const joined = new Map<string, string>();
  const root = (name: string): string => {
    let at = name;
    for (let next = joined.get(at); next !== undefined; next = joined.get(at)) at = next;
    return at;
  };
  for (const one of [...all].sort(simplestFirst)) {
    const { hit } = one;
    if (hit.place === "whole") {
      // Sums of the whole that meet at their ends follow from each other: of three ranges two are news.
      const name = (offset: number) => `${hit.ground}/${hit.family}/${hit.constant === 0 ? "" : hit.start}/${offset}`;
      const [a, b] = [root(name(hit.start)), root(name(hit.end))];
      if (a === b) continue;
      joined.set(a, b);
      const core = coreOf(hit.ground, hit.start, hit.end);
      if (kept.some(({ hit: other }) => other.ground === hit.ground && sameCore(core, withValue(other)))) continue;
    }
    const known = kept.some(
      ({ hit: other }) =>
        other.ground === hit.ground &&
        (meets(other, hit, bytesOf) ||
          (other.start === hit.start && other.end === hit.end && other.family === hit.family)),
    );
    if (!known) kept.push(one);
  }
  return kept;
}

/** A sum of the whole comes after any decided value that it may follow from. */
function simplestFirst(a: Judged, b: Judged): number {
  return (
    Number(isOpenOrWhole(a)) - Number(isOpenOrWhole(b)) ||
    a.expectedByChance - b.expectedByChance ||
    a.hit.schemeBits - b.hit.schemeBits ||
    a.hit.rangeBits - b.hit.rangeBits
  );
}

function isOpenOrWhole({ hit, expectedByChance }: Judged): boolean {
  return hit.place === "whole" || expectedByChance >= LIKELY_BELOW;
}

/** Whether two hits claim the same bytes as value. */
function meets(a: Hit, b: Hit, bytesOf: (hit: Hit) => number): boolean {
  const [aFrom, aTo] = claimed(a, bytesOf(a));
  const [bFrom, bTo] = claimed(b, bytesOf(b));
  return aFrom < bTo && bFrom < aTo;
}

/** The bytes that a value takes, with its complement on whichever side that stands. */
function claimed({ stored, complemented }: Hit, bytes: number): [number, number] {
  return complemented ? [stored - bytes, stored + 2 * bytes] : [stored, stored + bytes];
}

/** Whether two ranges hold the same but for the complement that stands behind a value. */
function sameCore(whole: Core, other: Core): boolean {
  return Math.abs(whole.start - other.start) <= 8 && Math.abs(whole.end - other.end) <= 8;
}
