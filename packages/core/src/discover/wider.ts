import { type Judged, LIKELY_BELOW } from "./chance.js";
import type { Hit } from "./hit.js";
import type { SeekPlan } from "./plan.js";
import { valueAt } from "./site.js";

/** A sum and the same sum in more bits, whose value holds the narrower one's. */
interface Pair {
  readonly narrow: Judged;
  readonly wide: Judged;
  /** How many bits more agree. */
  readonly more: number;
}

/**
 * `all` with wide sums in the place of narrow ones that follow from them: the low half of a sum of 32 bits is that of 16,
 * at the same place, and spreads as far. That the other half agrees as well, when it is not mere zeros, is no chance; how
 * sure that is, several sums of one kind say together.
 */
export function widened(plan: SeekPlan, all: readonly Judged[]): Judged[] {
  const byRange = new Map<string, Judged[]>();
  for (const one of all) {
    const name = nameOf(plan, one.hit);
    if (name === undefined) continue;
    const there = byRange.get(name);
    if (there) there.push(one);
    else byRange.set(name, [one]);
  }
  const pairs: readonly Pair[] = [...byRange.values()].flatMap((alike) =>
    alike.flatMap((narrow) => {
      if (narrow.expectedByChance >= LIKELY_BELOW) return [];
      return alike.flatMap((wide) => {
        const more = bitsMore(plan, narrow.hit, wide.hit);
        return more > 0 ? [{ narrow, wide, more }] : [];
      });
    }),
  );
  const together = new Map<string, number>();
  for (const { wide, more } of pairs) together.set(schemeOf(wide.hit), (together.get(schemeOf(wide.hit)) ?? 0) + more);
  const changed = new Map<Judged, Judged>();
  const dropped = new Set<Judged>();
  for (const { narrow, wide } of pairs) {
    const coincidence = 2 ** -(together.get(schemeOf(wide.hit)) as number);
    const odds = Math.max(Math.min(narrow.expectedByChance, wide.expectedByChance), coincidence);
    changed.set(wide, { ...wide, expectedByChance: Math.min(odds, wide.expectedByChance) });
    dropped.add(narrow);
  }
  return all.flatMap((one) => (dropped.has(one) ? [] : [changed.get(one) ?? one]));
}

/** The same for sums of the same words over one range in one form. */
function nameOf({ families }: SeekPlan, { ground, family, variant, start, end, place }: Hit): string | undefined {
  const { sums, variants } = families[family] as SeekPlan["families"][number];
  if (sums === undefined || place === "whole") return undefined;
  return `${ground}/${sums}/${variants[variant]?.form}/${start}/${end}`;
}

function schemeOf({ family, variant, order }: Hit): string {
  return `${family}/${variant}/${order}`;
}

function bitsMore({ sites, families }: SeekPlan, narrow: Hit, wide: Hit): number {
  const [few, many] = [narrow, wide].map(({ family }) => (families[family]?.width ?? 8) / 8) as [number, number];
  if (many <= few || (few > 1 && narrow.order !== wide.order)) return 0;
  const little = wide.order === "little";
  if (narrow.stored !== wide.stored + (little ? 0 : many - few)) return 0;
  const content = sites[wide.ground]?.ground.contents[0] as Uint8Array;
  for (let at = little ? wide.stored + few : wide.stored, i = 0; i < many - few; i++) {
    if (valueAt(content, at + i, 1, "big") !== 0) return 8 * (many - few);
  }
  return 0;
}
