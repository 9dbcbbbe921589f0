import { describe, expect, it } from "vitest";
import { caseOf } from "../seek/cases.js";
import { outcomeOf } from "../seek/judge.js";

// Some of the invented cases that `packages/checks/seek-table.ts` holds the search against, one for each thing that went
// wrong once: sums with fill behind them, values inside of headers, XOR of which any word may be the value, free places.
const cases = [6, 11, 13, 22, 29];
const minutes = 60_000;

describe("invented images, told nothing", () => {
  it.each(cases)("case %s: all that can be told is found, and nothing else", { timeout: 15 * minutes }, (number) => {
    const { truths, wrong } = outcomeOf(caseOf(number));
    expect(truths.filter(({ decidable, found }) => decidable && !found).map(({ truth }) => truth)).toEqual([]);
    expect(wrong).toEqual([]);
  });
});
