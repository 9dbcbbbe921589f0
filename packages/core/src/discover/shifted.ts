import { aloneOf } from "./chance.js";
import { isClosed } from "./closed.js";
import type { Variant } from "./family.js";
import type { Hit } from "./hit.js";
import type { SeekPlan } from "./plan.js";

/** Sums with one end in common are one finding when the other ends lie no further apart than this. */
const near = 512;
/** Or when what lies between those ends says no more than so many bits. */
const tellingBits = 12;

/** From where to where a range holds more than fill. */
export interface Core {
  readonly start: number;
  readonly end: number;
}

/** The range from `start` to `end` less the bytes of all zeros and all ones at its ends. */
export function coreOf(content: Uint8Array, start: number, end: number): Core {
  const isFill = (at: number) => content[at] === 0 || content[at] === 0xff;
  let [first, last] = [start, end];
  while (first < last && isFill(first)) first++;
  while (last > first && isFill(last - 1)) last--;
  return { start: first, end: last };
}

/** A hit with the range that it speaks of, and its value where nothing but fill is between. */
interface Extended {
  readonly hit: Hit;
  readonly start: number;
  readonly end: number;
  readonly core: Core;
  /** Whether all of it comes to a constant whatever is in it. */
  readonly closed: boolean;
  /** What is of one name can follow from each other. */
  readonly name: string;
}

/**
 * `hits` with one for all that follow from each other: those of one value that differ by fill at their ends; and where the
 * whole comes to a constant, so that any word of it is what the others come to, also those that have one end in common and
 * between the others only what comes to nothing by itself, as tables do that repeat. The simplest is kept.
 */
export function withoutShifted(plan: SeekPlan, hits: readonly Hit[]): Hit[] {
  const all = hits.map((hit) => extended(plan, hit));
  const closed = [...all.keys()].filter((i) => all[i]?.closed);
  const groups = new Groups(all.length);
  join(
    all,
    [...all.keys()],
    groups,
    ({ name, core }) => `${name}/${core.start}/${core.end}`,
    byStart,
    () => true,
  );
  for (const [shared, other, order] of [
    ["start", "end", byEnd],
    ["end", "start", byStart],
  ] as const) {
    join(
      all,
      closed,
      groups,
      ({ name, core }) => `${name}/${core[shared]}`,
      order,
      (a, b) => {
        return b[other] - a[other] <= near || says(plan, a.hit, a[other], b[other]) < tellingBits;
      },
    );
  }
  const kept = new Map<number, Extended>();
  for (const [i, one] of all.entries()) {
    const there = kept.get(groups.of(i));
    if (!there || isSimpler(one, there, plan.sites[one.hit.ground]?.ground.address ?? 0)) kept.set(groups.of(i), one);
  }
  return [...kept.values()].map(({ hit }) => hit);
}

function extended({ sites, families }: SeekPlan, hit: Hit): Extended {
  const family = families[hit.family] as SeekPlan["families"][number];
  const content = sites[hit.ground]?.ground.contents[0] as Uint8Array;
  const bytes = family.width / 8;
  const { start, end, stored, place, ground } = hit;
  const gap = stored < start ? coreOf(content, stored + bytes, start) : coreOf(content, end, stored);
  const beside = place === "inside" || gap.start >= gap.end;
  const closed = isClosed(family, family.variants[hit.variant] as Variant, hit);
  const [from, to] =
    place !== "whole" && beside ? [Math.min(start, stored), Math.max(end, stored + bytes)] : [start, end];
  const own = closed ? "closed" : `${hit.variant}/${hit.order}/${hit.counted === "left-out"}/${stored}`;
  // XOR of wide words comes to nothing in narrow ones as well.
  const of = closed && family.kind === "xor" ? "xor" : hit.family;
  return { hit, start: from, end: to, core: coreOf(content, from, to), closed, name: `${ground}/${of}/${own}` };
}

function byStart(a: Extended, b: Extended): number {
  return a.start - b.start;
}

function byEnd(a: Extended, b: Extended): number {
  return a.end - b.end;
}

/** Puts neighbours of one key together that follow from each other. */
function join(
  all: readonly Extended[],
  some: readonly number[],
  groups: Groups,
  key: (one: Extended) => string,
  order: (a: Extended, b: Extended) => number,
  follow: (a: Extended, b: Extended) => boolean,
): void {
  const rows = new Map<string, number[]>();
  for (const i of some) {
    const name = key(all[i] as Extended);
    const row = rows.get(name);
    if (row) row.push(i);
    else rows.set(name, [i]);
  }
  for (const row of rows.values()) {
    row.sort((a, b) => order(all[a] as Extended, all[b] as Extended));
    for (const [k, i] of row.entries()) {
      const before = row[k - 1];
      if (before !== undefined && follow(all[before] as Extended, all[i] as Extended)) groups.join(before, i);
    }
  }
}

function says({ sites, families }: SeekPlan, { ground, family }: Hit, from: number, to: number): number {
  const kind = families[family]?.kind;
  return (kind && sites[ground]?.bitsIn(0, kind, from, to)) ?? 0;
}

/** Costs that differ by less than this are an estimate: then a value goes before none, and rounder ends count for more. */
const estimate = 4;
const bitsOfHalving = 0.5;

function isSimpler(one: Extended, other: Extended, address: number): boolean {
  const [place, otherPlace] = [one.hit.place, other.hit.place];
  // The image itself says where the range begins and ends.
  if ((place === "described") !== (otherPlace === "described")) return place === "described";
  const dearer = aloneOf(one.hit) - aloneOf(other.hit);
  if (Math.abs(dearer) >= estimate) return dearer < 0;
  if ((place === "whole") !== (otherPlace === "whole")) return otherPlace === "whole";
  const rounder = roundnessOf(address, one) - roundnessOf(address, other);
  return dearer < bitsOfHalving * rounder;
}

/** How often the ends can be halved, up to blocks of 64 KiB: larger ones are no rounder to who laid them out. */
function roundnessOf(address: number, { start, end }: Extended): number {
  let halvings = 0;
  for (const offset of [start, end]) {
    for (let left = address + offset, i = 0; left % 2 === 0 && i < 16; left /= 2, i++) halvings++;
  }
  return halvings;
}

/** Which of some things belong together. */
class Groups {
  readonly #parents: Int32Array;

  constructor(count: number) {
    this.#parents = Int32Array.from({ length: count }, (_, i) => i);
  }

  of(i: number): number {
    let root = i;
    while (this.#parents[root] !== root) root = this.#parents[root] as number;
    this.#parents[i] = root;
    return root;
  }

  join(a: number, b: number): void {
    this.#parents[this.of(a)] = this.of(b);
  }
}
