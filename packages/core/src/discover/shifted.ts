import type { Hit } from "./hit.js";
import type { SeekPlan } from "./plan.js";

/** Sums of the whole with one end in common are one finding when the other ends lie no further apart than this. */
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

/**
 * `hits` with one sum of the whole for all that follow from each other: those that differ by fill at their ends, and
 * those that have one end in common and between the others only what comes to nothing by itself, as tables do that
 * repeat. Kept is the one with the roundest ends.
 */
export function withoutShifted({ sites, families }: SeekPlan, hits: readonly Hit[]): Hit[] {
  const whole = hits.filter(({ place }) => place === "whole");
  const groups = new Groups(whole.length);
  const cores = whole.map(({ ground, start, end }) => coreOf(contentOf(ground), start, end));
  const nameOf = ({ ground, family, variant }: Hit) => `${ground}/${family}/${variant}`;
  const join = (
    key: (i: number) => string,
    apart: (i: number) => number,
    follow: (a: number, b: number) => boolean,
  ) => {
    const rows = new Map<string, number[]>();
    for (let i = 0; i < whole.length; i++) rows.set(key(i), [...(rows.get(key(i)) ?? []), i]);
    for (const row of rows.values()) {
      row.sort((a, b) => apart(a) - apart(b));
      for (let k = 1; k < row.length; k++) {
        const [a, b] = [row[k - 1] as number, row[k] as number];
        if (follow(a, b)) groups.join(a, b);
      }
    }
  };
  const at = (i: number) => whole[i] as Hit;
  const says = ({ ground, family }: Hit, from: number, to: number) => {
    const kind = families[family]?.kind;
    return kind && sites[ground] ? sites[ground].bitsIn(0, kind, from, to) : 0;
  };
  join(
    (i) => `${nameOf(at(i))}/${cores[i]?.start}/${cores[i]?.end}`,
    (i) => at(i).start,
    () => true,
  );
  for (const [shared, other] of [
    ["start", "end"],
    ["end", "start"],
  ] as const) {
    join(
      (i) => `${nameOf(at(i))}/${at(i).constant}/${cores[i]?.[shared]}`,
      (i) => at(i)[other],
      (a, b) => {
        const [from, to] = [at(a)[other], at(b)[other]];
        return to - from <= near || says(at(a), from, to) < tellingBits;
      },
    );
  }
  const kept = new Map<number, Hit>();
  for (let i = 0; i < whole.length; i++) {
    const root = groups.of(i);
    const there = kept.get(root);
    if (!there || isRounder(at(i), there)) kept.set(root, at(i));
  }
  return [...hits.filter(({ place }) => place !== "whole"), ...kept.values()];

  function contentOf(ground: number): Uint8Array {
    return sites[ground]?.ground.contents[0] as Uint8Array;
  }

  function isRounder(one: Hit, other: Hit): boolean {
    const address = sites[one.ground]?.ground.address ?? 0;
    const roundness = ({ start, end }: Hit) => roundnessOf(address + start) + roundnessOf(address + end);
    return roundness(one) - roundness(other) > 0 || (roundness(one) === roundness(other) && isLonger(one, other));
  }
}

/** How often an address can be halved, up to blocks of 64 KiB: larger ones are no rounder to who laid them out. */
function roundnessOf(address: number): number {
  let halvings = 0;
  for (let left = address; left % 2 === 0 && halvings < 16; left /= 2) halvings++;
  return halvings;
}

function isLonger(one: Hit, other: Hit): boolean {
  return one.end - one.start > other.end - other.start;
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
