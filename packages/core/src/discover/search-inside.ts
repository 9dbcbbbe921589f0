import type { ByteOrder } from "../bytes/word.js";
import { admitted } from "./admit.js";
import { asides, type Boundaries, costOfRange, type Sides, usualFirst } from "./boundaries.js";
import type { Family, Keys, Variant } from "./family.js";
import { SHORTEST_RANGE } from "./ground.js";
import type { Hit } from "./hit.js";
import { KeyTable, mix } from "./key-table.js";
import { ordersOf } from "./search-words.js";
import { Sieve } from "./sieve.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** A value inside its range stands so near to the start, or to the end, that it is looked for there. */
const reach = 64;

type Counted = "zeros" | "left-out";
/** One way in which a value may be stored. */
interface Way {
  readonly variant: number;
  readonly one: Variant;
  readonly order: ByteOrder;
  /** The order as an index. */
  readonly o: number;
}

/** Ranges of structure with their value inside, taken as zeros or left out: in a header, or before what ends the range. */
export function searchInside(site: Site, family: Family, familyIndex: number): Hit[] {
  return new InsideSearch(site, family, familyIndex).hits();
}

/** Where ranges that hold their value are looked for, and every offset near their ends. The same for all families of one width and step. */
class Neighbourhood {
  readonly boundaries: Boundaries;
  /** Bytes between two places of a value, and how many places there are from one value's end to the next. */
  readonly step: number;
  readonly size: number;
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  /** Every offset that a key is needed for: the boundaries, and the words near them. */
  readonly offsets: Int32Array;
  readonly startIndices: Int32Array;
  readonly endIndices: Int32Array;
  /** The index of the offset so many steps behind a start, or before an end; -1 outside. A row for each. */
  readonly behind: Int32Array;
  readonly ahead: Int32Array;
  readonly row: number;
  /** For each byte order, what stands at each offset in the first content, and whether it is neither zeros nor ones. */
  readonly standing: readonly { readonly values: Int32Array; readonly telling: Uint8Array }[];

  constructor({ width, step }: Family, orders: readonly ByteOrder[], site: Site) {
    const { ground } = site;
    const bytes = width / 8;
    this.step = Math.max(step, bytes === 3 ? 1 : bytes);
    this.size = bytes / this.step;
    this.boundaries = site.structure(bytes, Math.max(step, this.step === 1 ? 1 : Math.min(4, this.step)));
    const { offsets, starts, ends } = this.boundaries;
    const bits = width * ground.contents.length;
    const most = bits >= 32 ? 160 : bits >= 16 ? 60 : 16;
    // A range that holds its value does not stand a value's size inside of a boundary.
    const usual = ({ bits, aside }: Sides) =>
      usualFirst(
        bits.map((each, i) => (aside[i] === asides.none ? each : Number.POSITIVE_INFINITY)),
        most,
      ).map((index) => offsets[index] as number);
    this.starts = usual(starts);
    this.ends = usual(ends);
    this.row = Math.floor((reach + bytes) / this.step) + 1;
    const near = new Set<number>();
    const reachable = (offset: number) => offset >= 0 && offset <= ground.length && near.add(offset);
    for (let d = 0; d < this.row * this.step; d += this.step) {
      for (const start of this.starts) reachable(start + d);
      for (const end of this.ends) reachable(end - d);
    }
    this.offsets = Int32Array.from(near).sort();
    const indices = new Map(Array.from(this.offsets, (offset, i) => [offset, i]));
    const rows = (from: Int32Array, sign: 1 | -1) =>
      Int32Array.from(
        { length: from.length * this.row },
        (_, i) => indices.get((from[Math.floor(i / this.row)] as number) + sign * this.step * (i % this.row)) ?? -1,
      );
    this.behind = rows(this.starts, 1);
    this.ahead = rows(this.ends, -1);
    this.startIndices = this.starts.map((_, s) => this.behind[s * this.row] as number);
    this.endIndices = this.ends.map((_, e) => this.ahead[e * this.row] as number);
    const content = ground.contents[0] as Uint8Array;
    this.standing = orders.map((order) => {
      const values = this.offsets.map((at) => (at + bytes <= ground.length ? valueAt(content, at, bytes, order) : 0));
      return { values, telling: Uint8Array.from(values, (value) => (isTrivial(value, width) ? 0 : 1)) };
    });
  }
}

class InsideSearch {
  readonly #hits: Hit[] = [];
  readonly #bytes: number;
  readonly #near: Neighbourhood;
  readonly #keys: readonly Keys[];
  readonly #values: Int32Array;
  readonly #moved: Int32Array;
  readonly #passed: Int32Array;

  constructor(
    readonly site: Site,
    readonly family: Family,
    readonly familyIndex: number,
  ) {
    const { width, step } = family;
    this.#bytes = width / 8;
    this.#near = site.kept(`near ends ${width}/${step}`, () => new Neighbourhood(family, ordersOf(family), site));
    const { offsets, starts } = this.#near;
    this.#keys = site.ground.contents.map((content) => family.keysOf(content, offsets));
    this.#values = new Int32Array(starts.length);
    this.#moved = new Int32Array(starts.length);
    this.#passed = new Int32Array(starts.length);
  }

  hits(): Hit[] {
    const { family } = this;
    const { row, size, startIndices } = this.#near;
    for (const init of new Set(family.variants.map((variant) => variant.init))) {
      const ways = [...family.variants.entries()]
        .filter(([, one]) => one.init === init)
        .flatMap(([variant, one]) => ordersOf(family).map((order, o) => ({ variant, one, order, o })));
      const keys = (this.#keys[0] as Keys).starts(init);
      const table = new KeyTable([keys], startIndices);
      const startOf = new Map(Array.from(startIndices, (index, s) => [index, s]));
      // To a sum what is left out is what is zero.
      for (const counted of family.kind === "crc" ? (["zeros", "left-out"] as const) : (["zeros"] as const)) {
        for (let d = 1; d + size < row; d++) this.#nearStart(keys, ways, counted, d);
        this.#nearEnds(table, startOf, ways, counted);
      }
    }
    return this.#hits;
  }

  /** The value `d` steps behind the start: its place goes with the start, so the moved keys serve for every end. */
  #nearStart(keys: Int32Array, ways: readonly Way[], counted: Counted, d: number): void {
    const { starts, ends, startIndices, endIndices, behind, row, size, standing } = this.#near;
    const first = this.#keys[0] as Keys;
    const targets = ways.map(() => new Int32Array(starts.length));
    const known = ways.map(() => new Uint8Array(starts.length));
    const sieve = new Sieve(ways.length * starts.length);
    for (let s = 0; s < starts.length; s++) {
      const from = behind[s * row + d] as number;
      const to = behind[s * row + d + size] as number;
      if (from < 0 || to < 0) continue;
      this.#moved[s] = this.#move(0, keys[startIndices[s] as number] as number, from, to, counted);
      for (const [w, { one, o }] of ways.entries()) {
        const { values, telling } = standing[o] as Neighbourhood["standing"][number];
        if (!telling[from]) continue;
        const target = one.toRaw(values[from] as number);
        (targets[w] as Int32Array)[s] = target;
        (known[w] as Uint8Array)[s] = 1;
        sieve.add(target, s);
      }
    }
    for (const [e, end] of ends.entries()) {
      const count = this.#countBefore(end - SHORTEST_RANGE);
      if (count === 0) continue;
      const index = endIndices[e] as number;
      first.valuesTo(index, startIndices, this.#moved, count, this.#values);
      if (first.emptied) {
        for (let s = 0; s < count; s++) {
          const from = behind[s * row + d] as number;
          const to = behind[s * row + d + size] as number;
          if (from >= 0 && to >= 0) this.#values[s] = first.emptied(this.#values[s] as number, from, to, index);
        }
      }
      const all = sieve.passingOwn(this.#values, count, this.#passed);
      for (let i = 0; i < all; i++) {
        const s = this.#passed[i] as number;
        for (const [w, way] of ways.entries()) {
          if (this.#values[s] !== (targets[w] as Int32Array)[s] || !(known[w] as Uint8Array)[s]) continue;
          const [from, to] = [behind[s * row + d] as number, behind[s * row + d + size] as number];
          this.#check(way, counted, s, e, from, to);
        }
      }
    }
  }

  /** The value before the end, with something behind it that belongs to the range: the start that goes with it is looked up. */
  #nearEnds(table: KeyTable, startOf: ReadonlyMap<number, number>, ways: readonly Way[], counted: Counted): void {
    const { ends, endIndices, ahead, row, size, standing, offsets } = this.#near;
    const first = this.#keys[0] as Keys;
    const wanted = new Int32Array(1);
    const one = [wanted];
    for (const [e, end] of ends.entries()) {
      const index = endIndices[e] as number;
      for (let d = 1; d + size < row; d++) {
        const from = ahead[e * row + d + size] as number;
        const to = ahead[e * row + d] as number;
        if (from < 0 || to < 0) continue;
        const last = Math.min((offsets[from] as number) - reach, end - SHORTEST_RANGE);
        for (const way of ways) {
          const { values, telling } = standing[way.o] as Neighbourhood["standing"][number];
          if (!telling[from]) continue;
          const raw = way.one.toRaw(values[from] as number);
          wanted[0] = first.unmoved(first.wantedStart(index, raw), from, to, counted);
          const mixed = mix(one, 0);
          if (!table.has(mixed)) continue;
          for (let entry = table.find(mixed); entry >= 0; entry = table.next(entry)) {
            const there = table.indices[entry] as number;
            if ((offsets[there] as number) <= last)
              this.#check(way, counted, startOf.get(there) as number, e, from, to);
          }
        }
      }
    }
  }

  #check({ variant, one, order }: Way, counted: Counted, s: number, e: number, from: number, to: number): void {
    const { contents } = this.site.ground;
    const { starts, ends, startIndices, endIndices, offsets, boundaries } = this.#near;
    const [start, end, stored] = [starts[s], ends[e], offsets[from]] as [number, number, number];
    const [startIndex, index] = [startIndices[s], endIndices[e]] as [number, number];
    const raws = contents.map((content) => one.toRaw(valueAt(content, stored, this.#bytes, order)));
    const checked = new Int32Array(1);
    const holds = raws.every((raw, content) => {
      const keys = this.#keys[content] as Keys;
      const startKey = keys.starts(one.init)[startIndex] as number;
      const moved = this.#move(content, startKey, from, to, counted);
      keys.valuesTo(index, Int32Array.of(startIndex), Int32Array.of(moved), 1, checked);
      const value = checked[0] as number;
      return (keys.emptied?.(value, from, to, index) ?? value) === raw;
    });
    if (!holds) return;
    const hit = admitted(this.site, this.family, this.familyIndex, {
      variant,
      order,
      place: "inside",
      start,
      end,
      stored,
      raws,
      cost: costOfRange(this.site.ground, boundaries, indexIn(boundaries, start), indexIn(boundaries, end)),
      within: this.#bitsOfDistance(Math.min(stored - start, end - stored - this.#bytes)),
      counted,
    });
    if (hit) this.#hits.push(hit);
  }

  /** At the start or the end, counted in one way or the other, and the nearer the likelier: k words off has 1/k(k+1). */
  #bitsOfDistance(distance: number): number {
    const words = Math.max(1, distance / this.#near.step);
    return (this.family.kind === "crc" ? 2 : 1) + Math.log2(words * (words + 1));
  }

  #move(content: number, startKey: number, from: number, to: number, counted: Counted): number {
    const keys = this.#keys[content] as Keys;
    if (keys.emptied) return startKey;
    return (counted === "zeros" ? keys.zeroed?.(startKey, from, to) : keys.leftOut?.(startKey, from, to)) as number;
  }

  /** How many starts lie at `offset` or before it. */
  #countBefore(offset: number): number {
    const { starts } = this.#near;
    let count = 0;
    while (count < starts.length && (starts[count] as number) <= offset) count++;
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
