import type { Hit } from "./hit.js";
import type { SeekPlan } from "./plan.js";

/**
 * `hits` without the longer ones of those that are of one value and differ by ranges that check themselves: a range with
 * its value behind it leaves many an algorithm as it was before, so blocks in a row come right alone and together.
 */
export function withoutJoined({ families }: SeekPlan, hits: readonly Hit[]): Hit[] {
  const schemeOf = ({ ground, family, variant, order }: Hit) => `${ground}/${family}/${variant}/${order}`;
  const sealed = new Set<string>();
  const ofOneValue = new Map<string, Hit[]>();
  for (const hit of hits) {
    const bytes = (families[hit.family]?.width ?? 8) / 8;
    if (hit.place === "after") sealed.add(`${schemeOf(hit)}/${hit.start}/${hit.end + bytes}`);
    if (hit.place === "before") sealed.add(`${schemeOf(hit)}/${hit.start - bytes}/${hit.end}`);
    const name = `${schemeOf(hit)}/${hit.stored}`;
    const there = ofOneValue.get(name);
    if (there) there.push(hit);
    else ofOneValue.set(name, [hit]);
  }
  const joined = new Set<Hit>();
  for (const alike of ofOneValue.values()) {
    for (const hit of alike) {
      const scheme = schemeOf(hit);
      const isJoined = alike.some(
        ({ start, end }) =>
          (end === hit.end && start > hit.start && sealed.has(`${scheme}/${hit.start}/${start}`)) ||
          (start === hit.start && end < hit.end && sealed.has(`${scheme}/${end}/${hit.end}`)),
      );
      if (isJoined) joined.add(hit);
    }
  }
  return hits.filter((hit) => !joined.has(hit));
}
