import type { ByteOrder } from "../bytes/word.js";
import { admitted, type Candidate } from "./admit.js";
import { type Boundaries, costOfRange } from "./boundaries.js";
import { type Family, type Keys, masked } from "./family.js";
import { SHORTEST_RANGE } from "./ground.js";
import type { Hit } from "./hit.js";
import { KeyTable, mix } from "./key-table.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** What whole sums are known to come to. Common practice, no source. */
export const constants = [0, -1, 0x5aa55aa5, 0xa55aa55a | 0, 0x5a5a5a5a, 0xa5a5a5a5 | 0, 0xaa55aa55 | 0, 0x55aa55aa];
/** A range that can prove less than this is not looked at. */
const leastBits = 8;
/** Of starts that are equal to a family, as they are in fill, so many are looked at. */
const mostAlike = 12;

/** Whether so many bits agree that both ends may be looked for at every word. */
export function worthEveryWord(site: Site, family: Family): boolean {
  return family.joins !== "none" && family.width * site.ground.contents.length >= 32;
}

/** Ranges from any word to any word with their value behind them, before them where that can be looked up, or none at all. */
export function searchWords(site: Site, family: Family, familyIndex: number): Hit[] {
  const boundaries = site.everyWord(family.width / 8, family.step);
  return new WordSearch(site, family, familyIndex, boundaries).hits();
}

class WordSearch {
  readonly #hits: Hit[] = [];
  readonly #keys: readonly Keys[];

  constructor(
    readonly site: Site,
    readonly family: Family,
    readonly familyIndex: number,
    readonly boundaries: Boundaries,
  ) {
    this.#keys = site.ground.contents.map((content) => family.keysOf(content, boundaries.offsets));
  }

  hits(): Hit[] {
    const { family } = this;
    for (const init of new Set(family.variants.map((variant) => variant.init))) {
      const starts = this.#keys.map((keys) => keys.starts(init));
      const table = new KeyTable(starts, this.#unlike(starts));
      for (const [variant, one] of family.variants.entries()) {
        if (one.init !== init) continue;
        for (const order of ordersOf(family)) this.#after(table, variant, order);
      }
      if (family.linear && family.joins === "both") this.#whole(table);
    }
    if (family.joins === "both") {
      const ends = this.#keys.map((keys) => keys.ends?.() as Int32Array);
      const table = new KeyTable(ends, this.#unlike(ends));
      for (const variant of family.variants.keys())
        for (const order of ordersOf(family)) this.#before(table, variant, order);
    }
    return this.#hits;
  }

  /** The boundaries but for those whose keys are as at the one before: in fill they all are. Structure comes first. */
  #unlike(keys: readonly Int32Array[]): Int32Array {
    const { offsets } = this.boundaries;
    const kept = new Int32Array(offsets.length);
    let count = 0;
    for (let i = 0; i < offsets.length; i++) {
      let alike = i > 0 && i + 1 < offsets.length;
      for (let k = 0; alike && k < keys.length; k++) {
        const key = keys[k] as Int32Array;
        alike = key[i] === key[i - 1] && key[i] === key[i + 1];
      }
      if (!alike) kept[count++] = i;
    }
    return kept.subarray(0, count);
  }

  #after(table: KeyTable, variant: number, order: ByteOrder): void {
    const { offsets } = this.boundaries;
    const raws = this.#raws(variant, order, 0);
    const wanted = this.#keys.map((keys, content) => keys.wantedStarts(raws[content] as Int32Array));
    const stored = this.#stored(order, 0).telling;
    for (let end = 0; end < offsets.length; end++) {
      if (!stored[end]) continue;
      const mixed = mix(wanted, end);
      for (
        let entry = table.find(mixed), alike = 0;
        entry >= 0 && alike < mostAlike;
        entry = table.find(mixed, entry)
      ) {
        const start = table.indices[entry] as number;
        if ((offsets[end] as number) - (offsets[start] as number) < SHORTEST_RANGE) continue;
        alike++;
        this.#admit(variant, order, "after", start, end, offsets[end] as number, raws, end);
      }
    }
  }

  #before(table: KeyTable, variant: number, order: ByteOrder): void {
    const { offsets } = this.boundaries;
    const bytes = this.family.width / 8;
    const raws = this.#raws(variant, order, -bytes);
    const { init } = this.family.variants[variant] as Family["variants"][number];
    const wanted = this.#keys.map(
      (keys, content) => keys.wantedEnds?.(raws[content] as Int32Array, init) as Int32Array,
    );
    const stored = this.#stored(order, -bytes).telling;
    for (let start = 0; start < offsets.length; start++) {
      if (!stored[start]) continue;
      const mixed = mix(wanted, start);
      for (
        let entry = table.find(mixed), alike = 0;
        entry >= 0 && alike < mostAlike;
        entry = table.find(mixed, entry)
      ) {
        const end = table.indices[entry] as number;
        if ((offsets[end] as number) - (offsets[start] as number) < SHORTEST_RANGE) continue;
        alike++;
        this.#admit(variant, order, "before", start, end, (offsets[start] as number) - bytes, raws, start);
      }
    }
  }

  #whole(table: KeyTable): void {
    const { family, boundaries } = this;
    const { offsets } = boundaries;
    const known = new Set(constants.map((constant) => masked(constant, family.width)));
    for (const constant of known) {
      const raws = this.#keys.map(() => new Int32Array(offsets.length).fill(constant));
      const wanted = this.#keys.map((keys, content) => keys.wantedStarts(raws[content] as Int32Array));
      for (let end = 0; end < offsets.length; end++) {
        const mixed = mix(wanted, end);
        for (
          let entry = table.find(mixed), alike = 0;
          entry >= 0 && alike < mostAlike;
          entry = table.find(mixed, entry)
        ) {
          const start = table.indices[entry] as number;
          if ((offsets[end] as number) - (offsets[start] as number) < SHORTEST_RANGE) continue;
          alike++;
          const stored = (offsets[end] as number) - family.width / 8;
          this.#admit(0, "big", "whole", start, end, stored, raws, end, constant);
        }
      }
    }
  }

  #admit(
    variant: number,
    order: ByteOrder,
    place: Candidate["place"],
    start: number,
    end: number,
    stored: number,
    raws: readonly Int32Array[],
    at: number,
    constant?: number,
  ): void {
    const { offsets } = this.boundaries;
    if (this.site.bitsIn(0, this.family.kind, offsets[start] as number, offsets[end] as number) < leastBits) return;
    const { init } = this.family.variants[variant] as Family["variants"][number];
    const values = raws.map((each) => each[at] as number);
    if (!this.#keys.every((keys, content) => keys.value(start, end, init) === values[content])) return;
    const hit = admitted(this.site, this.family, this.familyIndex, {
      variant,
      order,
      place,
      start: offsets[start] as number,
      end: offsets[end] as number,
      stored,
      raws: values,
      cost: costOfRange(this.site.ground, this.boundaries, start, end),
      ...(constant !== undefined && { constant, within: Math.log2(constants.length) }),
    });
    if (hit) this.#hits.push(hit);
  }

  /** The values at `distance` from each boundary as the family's keys give them, one array for each content. */
  #raws(variant: number, order: ByteOrder, distance: number): Int32Array[] {
    const { toRaw } = this.family.variants[variant] as Family["variants"][number];
    return this.#stored(order, distance).values.map((values) => values.map(toRaw));
  }

  /** The values as they stand, and which are neither all zeros nor all ones. The same for all families of one width. */
  #stored(order: ByteOrder, distance: number): { values: readonly Int32Array[]; telling: Uint8Array } {
    const bytes = this.family.width / 8;
    return this.site.kept(`stored ${bytes}/${this.family.step}/${order}/${distance}`, () => {
      const { contents, length } = this.site.ground;
      const { offsets } = this.boundaries;
      const telling = new Uint8Array(offsets.length).fill(1);
      const values = contents.map((content) => {
        const all = new Int32Array(offsets.length);
        for (let i = 0; i < all.length; i++) {
          const at = (offsets[i] as number) + distance;
          if (at >= 0 && at + bytes <= length) all[i] = valueAt(content, at, bytes, order);
          if (isTrivial(all[i] as number, this.family.width)) telling[i] = 0;
        }
        return all;
      });
      return { values, telling };
    });
  }
}

export function ordersOf(family: Family): readonly ByteOrder[] {
  return family.width === 8 ? ["big"] : ["big", "little"];
}
