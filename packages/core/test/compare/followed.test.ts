import { describe, expect, it } from "vitest";
import { common, normalised, type Span, subtract } from "../../src/bytes/span.js";
import { followedChecksums } from "../../src/compare/followed.js";
import type { FollowingChecksum } from "../../src/compare/following.js";

/** The slow twin: asks every checksum again until nothing new follows. */
function followedPlainly(
  checksums: readonly FollowingChecksum[],
  differing: readonly Span[],
  { explained, closed }: { explained: readonly Span[]; closed: readonly Span[] },
): Span[] {
  const open = new Set(checksums.filter(({ holdsInBoth }) => holdsInBoth));
  let reasons = [...explained];
  for (let grown = true; grown; ) {
    grown = false;
    for (const one of open) {
      const causes = subtract(common(one.covered, differing), [one.storedAt]);
      if (causes.length === 0 || subtract(causes, reasons).length > 0) continue;
      reasons = [...reasons, ...subtract([one.storedAt], closed)];
      open.delete(one);
      grown = true;
    }
  }
  return subtract(common(reasons, differing), explained);
}

describe("checksums that follow from differences with a reason", () => {
  // A linear congruential generator of Numerical Recipes.
  let seed = 20_261_130;
  const below = (limit: number) => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return Math.floor((seed / 2 ** 32) * limit);
  };
  const span = (longest: number): Span => {
    const start = below(100);
    return { start, end: start + 1 + below(longest) };
  };
  const some = <T>(most: number, one: () => T): T[] => Array.from({ length: below(most + 1) }, one);

  it("are those that asking again and again finds", () => {
    let followed = 0;
    for (let i = 0; i < 8000; i++) {
      const from = seed;
      const checksums = some(12, () => ({
        name: `check-${below(1000)}`,
        storedAt: span(4),
        covered: some(2, () => span(8)),
        holdsInBoth: below(5) > 0,
      }));
      const differing = normalised(some(8, () => span(6)));
      const given = { explained: some(6, () => span(80)), closed: some(2, () => span(6)) };
      const closed = subtract(given.closed, given.explained);
      const found = followedChecksums(checksums, differing, { ...given, closed }).flatMap(({ spans }) => spans);
      expect(normalised(found), `seed ${from}`).toEqual(followedPlainly(checksums, differing, { ...given, closed }));
      followed += found.length;
    }
    expect(followed).toBeGreaterThan(100);
  });

  it("are found though each waits for the next of thousands", () => {
    const links = 8000;
    const checksums = Array.from({ length: links }, (_, i) => ({
      name: `link-${i}`,
      covered: [{ start: 8 * (links - i), end: 8 * (links - i) + 8 }],
      storedAt: { start: 8 * (links - i) + 8, end: 8 * (links - i) + 12 },
      holdsInBoth: true,
    }));
    const differing = Array.from({ length: links + 1 }, (_, i) => ({ start: 8 + 8 * i, end: 12 + 8 * i }));
    const explained = [{ start: 8, end: 12 }];
    expect(followedChecksums(checksums, differing, { explained, closed: [] })).toHaveLength(links);
    expect(followedChecksums(checksums, differing, { explained: [], closed: [] })).toEqual([]);
  }, 120_000);
});
