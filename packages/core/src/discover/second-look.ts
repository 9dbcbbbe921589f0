import { rankLeft } from "./cancelling.js";
import { evidenceOf } from "./evidence.js";
import type { Hit } from "./hit.js";
import type { SeekPlan } from "./plan.js";
import { type Site, valueAt } from "./site.js";

/** A value this near to its range belongs to the sum of the whole. */
const beside = 8;

/**
 * What a hit proves, by what takes too long to look at for everything that comes right: how many words of the range XOR
 * leaves independent, and, of a sum of the whole, whether it can help being the same in every image beside `better` hits.
 */
export function secondLook({ sites, families }: SeekPlan, hit: Hit, better: readonly Hit[]): number {
  const site = sites[hit.ground];
  const family = families[hit.family];
  const variant = family?.variants[hit.variant];
  if (!site || !family || !variant) return 0;
  const whole = hit.place === "whole";
  if (family.kind !== "xor" && !whole) return hit.evidence;
  const { contents } = site.ground;
  const raws = contents.map((content) =>
    whole ? (hit.constant ?? 0) : variant.toRaw(valueAt(content, hit.stored, family.width / 8, hit.order)),
  );
  const alike = better.filter(
    (other) => other !== hit && other.ground === hit.ground && families[other.family]?.kind === family.kind,
  );
  const known = evidenceOf(site, family, hit, raws, {
    ...(family.kind === "xor" && { most: rankLeft(contents[0] as Uint8Array, hit.start, hit.end) }),
    ...(whole && {
      changed: (content: number) =>
        unexplained(site, hit, content, alike, ({ family }) => (families[family]?.width ?? 8) / 8),
    }),
  });
  // What the complement beside a value proves is not looked at again.
  return Math.min(hit.evidence, known + (hit.complemented ? site.bitsOfComplement(family.width / 8) : 0));
}

/**
 * How many words of a sum of the whole changed from the first content so that it had to change with them. What another
 * range and its value hold comes to the same in all images: a range that holds them, or differs from them by nothing
 * that changes, does not prove more.
 */
function unexplained(
  site: Site,
  { start, end }: Hit,
  content: number,
  better: readonly Hit[],
  bytesOf: (hit: Hit) => number,
): number {
  const changed = (from: number, to: number) => (from < to ? site.changed(content, from, to) : 0);
  let least = changed(start, end);
  let left = least;
  const taken: Hit[] = [];
  for (const other of better) {
    const [first, last] = [other.stored, other.stored + bytesOf(other) * (other.complemented ? 2 : 1)];
    const near = first <= other.end + beside && last >= other.start - beside;
    const [from, to] = near ? [Math.min(first, other.start), Math.max(last, other.end)] : [other.start, other.end];
    if (near) {
      const common = changed(Math.max(from, start), Math.min(to, end));
      least = Math.min(least, changed(start, end) + changed(from, to) - 2 * common);
    }
    const contained = from >= start && to <= end && (near || (first >= start && last <= end));
    if (!contained || taken.some((one) => one.start < to && from < one.end)) continue;
    taken.push(other);
    left -= changed(from, to) + (near ? 0 : changed(first, last));
  }
  return Math.max(0, Math.min(least, left));
}
