import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { overlap } from "../../src/bytes/span.js";
import { type Dependent, inOrder } from "../../src/checksums/order.js";

const span = (start: number, length: number) => ({ start, end: start + length });

/** The slow twin: whom each needs, asked of every pair; and who stands in a circle or between two. */
function circularPlainly(jobs: readonly Dependent[]): readonly Dependent[] {
  const needs = (a: Dependent, b: Dependent) => a !== b && a.from.some((one) => overlap(one, b.at));
  const peeled = (left: readonly Dependent[], kept: (job: Dependent, other: Dependent) => boolean) => {
    for (let rest = left; ; ) {
      const next = rest.filter((job) => rest.some((other) => kept(job, other)));
      if (next.length === rest.length) return rest;
      rest = next;
    }
  };
  return peeled(peeled(jobs, needs), (job, other) => needs(other, job));
}

describe("an order of what is computed from one another", () => {
  it("puts each behind what it needs, and leaves out circles and what stands between them", () => {
    const job = fc.tuple(fc.nat(29), fc.array(fc.tuple(fc.nat(60), fc.integer({ min: 1, max: 9 })), { maxLength: 2 }));
    const jobs = fc
      .uniqueArray(job, { selector: ([place]) => place, maxLength: 12 })
      .map((list) => list.map(([place, from]) => ({ at: span(2 * place, 2), from: from.map(([a, n]) => span(a, n)) })));
    const seen = { circular: 0, whole: 0 };
    fc.assert(
      fc.property(jobs, (list) => {
        const { order, circular } = inOrder(list);
        expect(new Set([...order, ...circular])).toEqual(new Set(list));
        expect(circular).toEqual(circularPlainly(list));
        seen[circular.length > 0 ? "circular" : "whole"]++;
        for (const [i, one] of order.entries()) {
          const later = order.slice(i + 1);
          expect(later.filter((other) => one.from.some((from) => overlap(from, other.at)))).toEqual([]);
        }
      }),
      { numRuns: 1000 },
    );
    expect(Math.min(seen.circular, seen.whole)).toBeGreaterThan(50);
  });

  it("is found for thousands of which each needs all before it, and for as many that all need all", () => {
    const count = 8000;
    const last = Array.from({ length: count }, (_, i) => ({ at: span(4 * i, 4), from: [span(0, 4 * i)] })).reverse();
    expect(inOrder(last).order.map(({ at }) => at.start)).toEqual(Array.from({ length: count }, (_, i) => 4 * i));
    const all = Array.from({ length: count }, (_, i) => ({ at: span(4 * i, 4), from: [span(0, 4 * count)] }));
    expect(inOrder(all).circular).toHaveLength(count);
  }, 60_000);
});
