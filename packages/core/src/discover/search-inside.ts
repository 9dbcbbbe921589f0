import type { ByteOrder } from "../bytes/word.js";
import { admitted } from "./admit.js";
import { asides, type Boundaries, costOfRange, type Sides, usualFirst } from "./boundaries.js";
import type { Family, Keys, Variant } from "./family.js";
import { SHORTEST_RANGE } from "./ground.js";
import type { Hit } from "./hit.js";
import { ordersOf } from "./search-words.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** A value inside its range stands so near to the start, or to the end, that it is looked for there. */
const reach = 64;

type Counted = "zeros" | "left-out";
/** One way in which a value may be stored. */
interface Way {
  readonly variant: number;
  readonly one: Variant;
  readonly order: ByteOrder;
}

/** Ranges of structure with their value inside, taken as zeros or left out: in a header, or before what ends the range. */
export function searchInside(site: Site, family: Family, familyIndex: number): Hit[] {
  return new InsideSearch(site, family, familyIndex).hits();
}

class InsideSearch {
  readonly #hits: Hit[] = [];
  readonly #bytes: number;
  readonly #step: number;
  readonly #boundaries: Boundaries;
  readonly #starts: Int32Array;
  readonly #ends: Int32Array;
  /** Every offset that a key is needed for: the boundaries, and the words near them. */
  readonly #offsets: Int32Array;
  readonly #indices: ReadonlyMap<number, number>;
  readonly #keys: readonly Keys[];
  readonly #startIndices: Int32Array;
  readonly #values: Int32Array;
  readonly #moved: Int32Array;

  constructor(
    readonly site: Site,
    readonly family: Family,
    readonly familyIndex: number,
  ) {
    const { ground } = site;
    this.#bytes = family.width / 8;
    this.#step = Math.max(family.step, this.#bytes === 3 ? 1 : this.#bytes);
    this.#boundaries = site.structure(
      this.#bytes,
      Math.max(family.step, this.#step === 1 ? 1 : Math.min(4, this.#step)),
    );
    const { offsets, starts, ends } = this.#boundaries;
    const bits = family.width * ground.contents.length;
    const most = bits >= 32 ? 160 : bits >= 16 ? 60 : 16;
    // A range that holds its value does not stand a value's size inside of a boundary.
    const usual = ({ bits, aside }: Sides) =>
      usualFirst(
        bits.map((each, i) => (aside[i] === asides.none ? each : Number.POSITIVE_INFINITY)),
        most,
      ).map((index) => offsets[index] as number);
    this.#starts = usual(starts);
    this.#ends = usual(ends);
    const near = new Set<number>();
    const reachable = (offset: number) => offset >= 0 && offset <= ground.length && near.add(offset);
    for (let d = 0; d <= reach + this.#bytes; d += this.#step) {
      for (const start of this.#starts) reachable(start + d);
      for (const end of this.#ends) reachable(end - d);
    }
    this.#offsets = Int32Array.from(near).sort();
    this.#indices = new Map(Array.from(this.#offsets, (offset, i) => [offset, i]));
    this.#keys = ground.contents.map((content) => family.keysOf(content, this.#offsets));
    this.#startIndices = this.#starts.map((start) => this.#indices.get(start) as number);
    this.#values = new Int32Array(this.#starts.length);
    this.#moved = new Int32Array(this.#starts.length);
  }

  hits(): Hit[] {
    const { family } = this;
    for (const init of new Set(family.variants.map((variant) => variant.init))) {
      const ways = [...family.variants.entries()]
        .filter(([, one]) => one.init === init)
        .flatMap(([variant, one]) => ordersOf(family).map((order) => ({ variant, one, order })));
      // To a sum what is left out is what is zero.
      for (const counted of family.kind === "crc" ? (["zeros", "left-out"] as const) : (["zeros"] as const)) {
        for (let d = this.#step; d + this.#bytes <= reach; d += this.#step) {
          this.#nearStart(init, ways, counted, d);
          this.#nearEnd(init, ways, counted, d);
        }
      }
    }
    return this.#hits;
  }

  /** The value `d` behind the start: its place goes with the start, so the moved keys serve for every end. */
  #nearStart(init: number, ways: readonly Way[], counted: Counted, d: number): void {
    const keys = (this.#keys[0] as Keys).starts(init);
    for (let s = 0; s < this.#starts.length; s++) {
      const at = (this.#starts[s] as number) + d;
      const from = this.#indices.get(at);
      const to = this.#indices.get(at + this.#bytes);
      if (from === undefined || to === undefined) continue;
      this.#moved[s] = this.#move(0, keys[this.#startIndices[s] as number] as number, from, to, counted);
    }
    const targets = ways.map((way) => this.#starts.map((start) => this.#target(way, start + d)));
    const telling = ways.map(({ order }) => this.#starts.map((start) => (this.#isTelling(start + d, order) ? 1 : 0)));
    const hole = (s: number) => (this.#starts[s] as number) + d;
    for (const end of this.#ends) {
      const count = this.#countBefore(end - SHORTEST_RANGE);
      if (count === 0) continue;
      this.#valuesTo(end, count, hole);
      for (let w = 0; w < ways.length; w++) {
        const target = targets[w] as Int32Array;
        const known = telling[w] as Int32Array;
        for (let s = 0; s < count; s++) {
          if (this.#values[s] !== target[s] || !known[s]) continue;
          this.#check(ways[w] as Way, counted, s, end, hole(s));
        }
      }
    }
  }

  /** The value `d` before the end, with something behind it that belongs to the range: every start is tried with it. */
  #nearEnd(init: number, ways: readonly Way[], counted: Counted, d: number): void {
    const keys = (this.#keys[0] as Keys).starts(init);
    for (const end of this.#ends) {
      const at = end - this.#bytes - d;
      const from = this.#indices.get(at);
      const to = this.#indices.get(at + this.#bytes);
      const useful = ways.filter(({ order }) => from !== undefined && this.#isTelling(at, order));
      const count = this.#countBefore(Math.min(at - reach, end - SHORTEST_RANGE));
      if (from === undefined || to === undefined || count === 0 || useful.length === 0) continue;
      for (let s = 0; s < count; s++) {
        this.#moved[s] = this.#move(0, keys[this.#startIndices[s] as number] as number, from, to, counted);
      }
      this.#valuesTo(end, count, () => at);
      for (const way of useful) {
        const target = this.#target(way, at);
        for (let s = 0; s < count; s++) {
          if (this.#values[s] !== target) continue;
          this.#check(way, counted, s, end, at);
        }
      }
    }
  }

  /** The values of the ranges from the first `count` starts to `end`, each with its hole where `holeOf` says. */
  #valuesTo(end: number, count: number, holeOf: (s: number) => number): void {
    const keys = this.#keys[0] as Keys;
    const index = this.#indices.get(end) as number;
    keys.valuesTo(index, this.#startIndices, this.#moved, count, this.#values);
    if (!keys.emptied) return;
    for (let s = 0; s < count; s++) {
      const from = this.#indices.get(holeOf(s));
      const to = this.#indices.get(holeOf(s) + this.#bytes);
      if (from !== undefined && to !== undefined)
        this.#values[s] = keys.emptied(this.#values[s] as number, from, to, index);
    }
  }

  #check({ variant, one, order }: Way, counted: Counted, s: number, end: number, stored: number): void {
    const { contents } = this.site.ground;
    const raws = contents.map((content) => one.toRaw(valueAt(content, stored, this.#bytes, order)));
    const [from, to, index] = [stored, stored + this.#bytes, end].map((offset) => this.#indices.get(offset) as number);
    const checked = new Int32Array(1);
    const holds = raws.every((raw, content) => {
      const keys = this.#keys[content] as Keys;
      const start = this.#startIndices[s] as number;
      const startKey = keys.starts(one.init)[start] as number;
      const moved = this.#move(content, startKey, from as number, to as number, counted);
      keys.valuesTo(index as number, Int32Array.of(start), Int32Array.of(moved), 1, checked);
      const value = checked[0] as number;
      return (keys.emptied?.(value, from as number, to as number, index as number) ?? value) === raw;
    });
    if (!holds) return;
    const start = this.#starts[s] as number;
    const hit = admitted(this.site, this.family, this.familyIndex, {
      variant,
      order,
      place: "inside",
      start,
      end,
      stored,
      raws,
      cost: costOfRange(
        this.site.ground,
        this.#boundaries,
        indexIn(this.#boundaries, start),
        indexIn(this.#boundaries, end),
      ),
      within: this.#bitsOfDistance(Math.min(stored - start, end - stored - this.#bytes)),
      counted,
    });
    if (hit) this.#hits.push(hit);
  }

  /** At the start or the end, counted in one way or the other, and the nearer the likelier: k words off has 1/k(k+1). */
  #bitsOfDistance(distance: number): number {
    const words = Math.max(1, distance / this.#step);
    return (this.family.kind === "crc" ? 2 : 1) + Math.log2(words * (words + 1));
  }

  #move(content: number, startKey: number, from: number, to: number, counted: Counted): number {
    const keys = this.#keys[content] as Keys;
    if (keys.emptied) return startKey;
    return (counted === "zeros" ? keys.zeroed?.(startKey, from, to) : keys.leftOut?.(startKey, from, to)) as number;
  }

  #target({ one, order }: Way, at: number): number {
    const { contents, length } = this.site.ground;
    if (at < 0 || at + this.#bytes > length) return 0;
    return one.toRaw(valueAt(contents[0] as Uint8Array, at, this.#bytes, order));
  }

  #isTelling(at: number, order: ByteOrder): boolean {
    const { contents, length } = this.site.ground;
    if (at < 0 || at + this.#bytes > length) return false;
    return !isTrivial(valueAt(contents[0] as Uint8Array, at, this.#bytes, order), this.family.width);
  }

  /** How many starts lie at `offset` or before it. */
  #countBefore(offset: number): number {
    let count = 0;
    while (count < this.#starts.length && (this.#starts[count] as number) <= offset) count++;
    return count;
  }
}

function indexIn({ offsets }: Boundaries, offset: number): number {
  let low = 0;
  let high = offsets.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((offsets[middle] as number) < offset) low = middle + 1;
    else high = middle;
  }
  return low;
}
