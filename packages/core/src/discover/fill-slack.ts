import { algorithmOf } from "../algorithms/algorithm.js";
import type { Hit } from "./hit.js";
import type { SeekPlan } from "./plan.js";

/** The first and the last offset at which a range may begin, or end. */
export interface Slack {
  readonly from: number;
  readonly to: number;
}

/** How far the ends of a range can be moved over fill without anything changing. */
export interface Slacks {
  readonly start?: Slack;
  readonly end?: Slack;
}

/** Fill that may count for nothing: zeros, and all ones to XOR and to sums with end-around carry. */
const fills = [0, 0xff] as const;

/**
 * How far the ends of the range from `start` to `end` that `hit` speaks of can be moved over fill with the same value in
 * all contents: many algorithms count zeros at an end for nothing, and then no data tell where in them a range ends.
 */
export function slacksOf(plan: SeekPlan, hit: Hit, start: number, end: number): Slacks {
  const family = plan.families[hit.family];
  const variant = family?.variants[hit.variant];
  const contents = plan.sites[hit.ground]?.ground.contents;
  if (!family || !variant || !contents) return {};
  const bytes = family.width / 8;
  const inside = hit.place === "inside";
  const algorithm = algorithmOf(variant.algorithm);
  const valueOver = (from: number, to: number) => {
    const content = contents[0] as Uint8Array;
    const running = algorithm.start();
    running.update(content.subarray(from, inside ? hit.stored : to));
    if (inside && hit.counted === "zeros") running.update(new Uint8Array(bytes));
    if (inside) running.update(content.subarray(hit.stored + bytes, to));
    return running.value();
  };
  // A range does not begin behind its value, nor end before it, nor hold the value that stands beside it.
  const lowest = hit.place !== "inside" && hit.place !== "whole" && hit.stored < start ? hit.stored + bytes : 0;
  const length = (contents[0] as Uint8Array).length;
  const highest = hit.place !== "inside" && hit.place !== "whole" && hit.stored >= end ? hit.stored : length;
  let value: bigint | undefined;
  const same = (from: number, to: number) => {
    value ??= valueOver(start, end);
    return valueOver(from, to) === value;
  };
  const moved = (at: number, low: number, high: number, holds: (offset: number) => boolean): Slack | undefined => {
    for (const fill of fills) {
      const isFill = (offset: number) => contents.every((content) => content[offset] === fill);
      let [from, to] = [at, at];
      while (from > low && isFill(from - 1)) from--;
      while (to < high && isFill(to)) to++;
      // Words of all ones cancel each other in pairs.
      const step = fill === 0xff && family.kind === "xor" ? 2 * family.step : family.step;
      from = at - Math.floor((at - from) / step) * step;
      to = at + Math.floor((to - at) / step) * step;
      if (from === to) continue;
      if (from < at && !holds(from)) from = at;
      if (to > at && !holds(to)) to = at;
      if (from < to) return { from, to };
    }
    return undefined;
  };
  const startSlack = moved(start, lowest, inside ? hit.stored : end, (from) => same(from, end));
  const endSlack = moved(end, inside ? hit.stored + bytes : start, highest, (to) => same(start, to));
  return { ...(startSlack && { start: startSlack }), ...(endSlack && { end: endSlack }) };
}
