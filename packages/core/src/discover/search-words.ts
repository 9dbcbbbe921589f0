import type { ByteOrder } from "../bytes/word.js";
import { admitted, type Candidate, complementBeside, mostSpare } from "./admit.js";
import { type Boundaries, bitsOfRange, blocks, costOfRange, indicesOf, leastBitsOf, sortedBy } from "./boundaries.js";
import { mostEvidence } from "./evidence.js";
import { type Family, type Keys, masked, type Variant } from "./family.js";
import { SHORTEST_RANGE } from "./ground.js";
import type { Hit } from "./hit.js";
import { KeyTable, mix } from "./key-table.js";
import { contentsTogether } from "./places.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** What whole sums are known to come to. Common practice, no source. */
export const constants = [0, -1, 0x5aa55aa5, 0xa55aa55a | 0, 0x5a5a5a5a, 0xa5a5a5a5 | 0, 0xaa55aa55 | 0, 0x55aa55aa];
/** The row of `blocks` from which on a boundary is worth keeping wherever it lies. */
const roundBlock = blocks.findIndex(({ size }) => size === 256);
/** A range that can prove less than this is not looked at. */
const leastBits = 8;
/** Of starts that are equal to a family, as they are in fill, so many are looked at. */
const mostAlike = 12;
/** And of so many whether they lie before the end. */
const mostLooked = 512;

/** Whether so many bits agree that both ends may be looked for at every word. */
export function worthEveryWord(site: Site, family: Family): boolean {
  return family.joins !== "none" && family.width * site.ground.contents.length >= 32;
}

/** Ranges from any word to any word with their value behind them, before them where that can be looked up, or none at all. */
export function searchWords(site: Site, family: Family, familyIndex: number): Hit[] {
  const boundaries = site.everyWord(family.width / 8, family.step);
  return new WordSearch(site, family, familyIndex, boundaries).hits();
}

/** What stands beside boundaries that may be a value. */
interface Standing {
  /** The indices of those boundaries. */
  readonly at: Int32Array;
  /** For each content that is looked up together with others, in the order of `at`. */
  readonly values: readonly Int32Array[];
}

/** As many contents are looked up together as have 32 bits to agree; the others are asked when those do. */
class WordSearch {
  readonly #hits: Hit[] = [];
  /** Of the contents that are looked up together, and of all. */
  readonly #keys: readonly Keys[];
  readonly #all: (Keys | undefined)[];
  readonly #together: number;

  constructor(
    readonly site: Site,
    readonly family: Family,
    readonly familyIndex: number,
    readonly boundaries: Boundaries,
  ) {
    const { contents } = site.ground;
    this.#together = contentsTogether(site, (family.decides ? 1 : 0.5) * (family.width / 8));
    this.#keys = contents.slice(0, this.#together).map((content) => family.keysOf(content, boundaries.offsets));
    this.#all = [...this.#keys];
  }

  hits(): Hit[] {
    const { family } = this;
    const wanted = ordersOf(family).map((order) => new Wanted(family, this.#keys, this.#standing(order, 0)));
    for (const init of new Set(family.variants.map((variant) => variant.init))) {
      const starts = this.#keys.map((keys) => keys.starts(init));
      const table = new KeyTable(starts, this.#unlike(starts, "starts"));
      for (const [variant, one] of family.variants.entries()) {
        if (one.init !== init) continue;
        for (const [o, order] of ordersOf(family).entries())
          this.#after(table, variant, order, (wanted[o] as Wanted).starts(one));
      }
      if (family.linear && family.joins === "both") this.#whole(table);
    }
    if (family.joins === "both") {
      const ends = this.#keys.map((keys) => keys.ends?.() as Int32Array);
      const table = new KeyTable(ends, this.#unlike(ends, "ends"));
      for (const variant of family.variants.keys())
        for (const order of ordersOf(family)) this.#before(table, variant, order);
    }
    return this.#hits;
  }

  /** The boundaries but for those, not round, with keys like their neighbours': in fill they all are. The most usual come last. */
  #unlike(keys: readonly Int32Array[], side: "starts" | "ends"): Int32Array {
    const { offsets } = this.boundaries;
    const { block } = this.boundaries[side];
    const order = this.site.kept(`usual last ${side} ${this.family.width}/${this.family.step}`, () =>
      usualLast(this.boundaries[side].bits),
    );
    const kept = new Int32Array(offsets.length);
    let count = 0;
    for (const i of order) {
      let alike = i > 0 && i + 1 < offsets.length && (block[i] as number) < roundBlock;
      for (let k = 0; alike && k < keys.length; k++) {
        const key = keys[k] as Int32Array;
        alike = key[i] === key[i - 1] && key[i] === key[i + 1];
      }
      if (!alike) kept[count++] = i;
    }
    return kept.subarray(0, count);
  }

  #after(table: KeyTable, variant: number, order: ByteOrder, wanted: readonly Int32Array[]): void {
    const { offsets } = this.boundaries;
    this.#join(table, "starts", wanted, this.#standing(order, 0).at, (start, end) =>
      this.#admit({ variant, order, place: "after", stored: offsets[end] as number }, start, end),
    );
  }

  #before(table: KeyTable, variant: number, order: ByteOrder): void {
    const { offsets } = this.boundaries;
    const bytes = this.family.width / 8;
    const { toRaw } = this.family.variants[variant] as Variant;
    const { values, at } = this.#standing(order, -bytes);
    const wanted = this.#keys.map(
      (keys, content) => keys.wantedEnds?.(rawsOf(toRaw, values[content] as Int32Array), at) as Int32Array,
    );
    this.#join(table, "ends", wanted, at, (end, start) =>
      this.#admit({ variant, order, place: "before", stored: (offsets[start] as number) - bytes }, start, end),
    );
  }

  #whole(table: KeyTable): void {
    const { family, boundaries } = this;
    const { offsets } = boundaries;
    const within = Math.log2(constants.length);
    const all = indicesOf(offsets);
    for (const constant of new Set(constants.map((each) => masked(each, family.width)))) {
      const raws = new Int32Array(offsets.length).fill(constant);
      const wanted = this.#keys.map((keys) => keys.wantedStarts(raws, all));
      this.#join(table, "starts", wanted, all, (start, end) => {
        const stored = (offsets[end] as number) - family.width / 8;
        this.#admit({ variant: 0, order: "big", place: "whole", stored, constant, within }, start, end);
      });
    }
  }

  /** Calls `found` for each boundary in `table` that has the key wanted at one of `boundaries`, and for that. */
  #join(
    table: KeyTable,
    holds: "starts" | "ends",
    wanted: readonly Int32Array[],
    boundaries: Int32Array,
    found: (there: number, at: number) => void,
  ): void {
    const { offsets } = this.boundaries;
    const sign = holds === "starts" ? 1 : -1;
    for (let i = 0; i < boundaries.length; i++) {
      const mixed = mix(wanted, i);
      if (!table.has(mixed)) continue;
      const at = boundaries[i] as number;
      let alike = 0;
      let looked = 0;
      for (let entry = table.find(mixed); entry >= 0 && looked < mostLooked; entry = table.next(entry)) {
        const there = table.indices[entry] as number;
        looked++;
        if (sign * ((offsets[at] as number) - (offsets[there] as number)) < SHORTEST_RANGE) continue;
        if (table.agrees(there, wanted, i)) found(there, at);
        if (++alike === mostAlike) break;
      }
    }
  }

  #admit(
    told: Pick<Candidate, "variant" | "order" | "place" | "stored" | "constant" | "within">,
    start: number,
    end: number,
  ): void {
    const { site, family, boundaries } = this;
    const { ground } = site;
    const [from, to] = [boundaries.offsets[start] as number, boundaries.offsets[end] as number];
    const spare =
      mostEvidence(site, family, from, to) + mostSpare - site.bits - bitsOfRange(ground, boundaries, start, end);
    if (spare < 0 && (told.place === "whole" || spare + this.#besideAt(told.stored) < 0)) return;
    if (site.bitsIn(0, family.kind, from, to) < leastBits) return;
    const { init, toRaw } = family.variants[told.variant] as Variant;
    const raws = ground.contents.map(
      (content) => told.constant ?? toRaw(valueAt(content, told.stored, family.width / 8, told.order)),
    );
    for (let content = family.decides ? this.#together : 0; content < raws.length; content++) {
      if (this.#keysOf(content).value(start, end, init) !== raws[content]) return;
    }
    const hit = admitted(site, family, this.familyIndex, {
      ...told,
      start: from,
      end: to,
      raws,
      cost: costOfRange(ground, boundaries, start, end),
    });
    if (hit) this.#hits.push(hit);
  }

  /** What the complement beside a value proves, if there is one. */
  #besideAt(stored: number): number {
    const bytes = this.family.width / 8;
    return complementBeside(this.site.ground, stored, bytes) === 0 ? 0 : this.site.bitsOfComplement(bytes);
  }

  #keysOf(content: number): Keys {
    const { contents } = this.site.ground;
    this.#all[content] ??= this.family.keysOf(contents[content] as Uint8Array, this.boundaries.offsets);
    return this.#all[content] as Keys;
  }

  /**
   * The values as they stand at `distance` from boundaries. A value that is the same in all contents proves no more than
   * in one: so only those are looked at that can prove what the cheapest range there costs. The same for all families of
   * one width and step.
   */
  #standing(order: ByteOrder, distance: number): Standing {
    const { width, step } = this.family;
    const bytes = width / 8;
    return this.site.kept(`stored ${bytes}/${step}/${order}/${distance}/${this.#together}`, () => {
      const { ground } = this.site;
      const { offsets } = this.boundaries;
      const least = leastBitsOf(ground, this.boundaries, distance === 0 ? "ends" : "starts");
      const spare = mostSpare - this.site.bits;
      const at = indicesOf(offsets).filter((i) => {
        const place = (offsets[i] as number) + distance;
        if (place < 0 || place + bytes > ground.length) return false;
        const values = ground.contents.map((content) => valueAt(content, place, bytes, order));
        const different = values.filter((value, k) => values.indexOf(value) === k).length;
        if (values.some((value) => isTrivial(value, width))) return false;
        const left = width * different + spare - (least[i] as number);
        return left >= 0 || left + this.#besideAt(place) >= 0;
      });
      const valuesIn = (content: Uint8Array) =>
        at.map((i) => valueAt(content, (offsets[i] as number) + distance, bytes, order));
      return { at, values: ground.contents.slice(0, this.#together).map(valuesIn) };
    });
  }
}

/**
 * The keys that starts must have for the values that stand somewhere, in each content. What is added to all values by
 * one variant and not by another adds a constant to each key, where the family has that.
 */
class Wanted {
  #plain: readonly Int32Array[] | undefined;

  constructor(
    readonly family: Family,
    readonly keys: readonly Keys[],
    readonly standing: Standing,
  ) {}

  starts({ toRaw }: Variant): readonly Int32Array[] {
    if (!this.keys[0]?.scaled) return this.#keysFor(toRaw);
    const added = toRaw(0);
    this.#plain ??= this.#keysFor((stored) => toRaw(stored) ^ added);
    if (added === 0) return this.#plain;
    const { at } = this.standing;
    return this.#plain.map((plain, content) => {
      const constant = this.keys[content]?.scaled?.(added) as Int32Array;
      const wanted = new Int32Array(plain.length);
      for (let i = 0; i < wanted.length; i++) wanted[i] = (plain[i] as number) ^ (constant[at[i] as number] as number);
      return wanted;
    });
  }

  #keysFor(toRaw: Variant["toRaw"]): Int32Array[] {
    const { at, values } = this.standing;
    return this.keys.map((keys, content) => keys.wantedStarts(rawsOf(toRaw, values[content] as Int32Array), at));
  }
}

function rawsOf(toRaw: Variant["toRaw"], values: Int32Array): Int32Array {
  const raws = new Int32Array(values.length);
  for (let i = 0; i < raws.length; i++) raws[i] = toRaw(values[i] as number);
  return raws;
}

export function ordersOf(family: Family): readonly ByteOrder[] {
  return family.width === 8 ? ["big"] : ["big", "little"];
}

/** The indices of boundaries, the most usual last: those that are found first when many are alike. */
function usualLast(bits: Float32Array): Int32Array {
  return sortedBy(
    indicesOf(bits),
    bits.map((each) => -each),
  );
}
