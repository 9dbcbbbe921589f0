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
      const table = new KeyTable(starts, this.#unlike(starts, "starts"));
      for (const [variant, one] of family.variants.entries()) {
        if (one.init !== init) continue;
        for (const order of ordersOf(family)) this.#after(table, variant, order);
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

  /** The boundaries but for those whose keys are as at the one before: in fill they all are. The most usual come last. */
  #unlike(keys: readonly Int32Array[], side: "starts" | "ends"): Int32Array {
    const { offsets } = this.boundaries;
    const order = this.site.kept(`usual last ${side} ${this.family.width}/${this.family.step}`, () =>
      usualLast(this.boundaries[side].bits),
    );
    const kept = new Int32Array(offsets.length);
    let count = 0;
    for (const i of order) {
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
    const { telling } = this.#stored(order, 0);
    this.#join(table, "starts", wanted, telling, (start, end) =>
      this.#admit({ variant, order, place: "after", stored: offsets[end] as number }, start, end, raws, end),
    );
  }

  #before(table: KeyTable, variant: number, order: ByteOrder): void {
    const { offsets } = this.boundaries;
    const bytes = this.family.width / 8;
    const raws = this.#raws(variant, order, -bytes);
    const { init } = this.family.variants[variant] as Family["variants"][number];
    const wanted = this.#keys.map(
      (keys, content) => keys.wantedEnds?.(raws[content] as Int32Array, init) as Int32Array,
    );
    const { telling } = this.#stored(order, -bytes);
    this.#join(table, "ends", wanted, telling, (end, start) =>
      this.#admit(
        { variant, order, place: "before", stored: (offsets[start] as number) - bytes },
        start,
        end,
        raws,
        start,
      ),
    );
  }

  #whole(table: KeyTable): void {
    const { family, boundaries } = this;
    const { offsets } = boundaries;
    const within = Math.log2(constants.length);
    for (const constant of new Set(constants.map((each) => masked(each, family.width)))) {
      const raws = this.#keys.map(() => new Int32Array(offsets.length).fill(constant));
      const wanted = this.#keys.map((keys, content) => keys.wantedStarts(raws[content] as Int32Array));
      this.#join(table, "starts", wanted, undefined, (start, end) => {
        const stored = (offsets[end] as number) - family.width / 8;
        this.#admit({ variant: 0, order: "big", place: "whole", stored, constant, within }, start, end, raws, end);
      });
    }
  }

  /** Calls `found` for each boundary in `table` that has the key wanted at another one, and for that, when `telling`. */
  #join(
    table: KeyTable,
    holds: "starts" | "ends",
    wanted: readonly Int32Array[],
    telling: Uint8Array | undefined,
    found: (there: number, at: number) => void,
  ): void {
    const { offsets } = this.boundaries;
    const sign = holds === "starts" ? 1 : -1;
    for (let at = 0; at < offsets.length; at++) {
      if (telling && !telling[at]) continue;
      const mixed = mix(wanted, at);
      if (!table.has(mixed)) continue;
      for (
        let entry = table.find(mixed), alike = 0;
        entry >= 0 && alike < mostAlike;
        entry = table.find(mixed, entry)
      ) {
        const there = table.indices[entry] as number;
        if (sign * ((offsets[at] as number) - (offsets[there] as number)) < SHORTEST_RANGE) continue;
        alike++;
        if (table.agrees(there, wanted, at)) found(there, at);
      }
    }
  }

  #admit(
    told: Pick<Candidate, "variant" | "order" | "place" | "stored" | "constant" | "within">,
    start: number,
    end: number,
    raws: readonly Int32Array[],
    at: number,
  ): void {
    const { offsets } = this.boundaries;
    const [from, to] = [offsets[start] as number, offsets[end] as number];
    if (this.site.bitsIn(0, this.family.kind, from, to) < leastBits) return;
    const { init } = this.family.variants[told.variant] as Family["variants"][number];
    const holds = (keys: Keys, content: number) => keys.value(start, end, init) === raws[content]?.[at];
    if (!this.family.decides && !this.#keys.every(holds)) return;
    const cost = costOfRange(this.site.ground, this.boundaries, start, end);
    const values = raws.map((each) => each[at] as number);
    const hit = admitted(this.site, this.family, this.familyIndex, {
      ...told,
      start: from,
      end: to,
      raws: values,
      cost,
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

/** The indices of boundaries, the most usual last: those that are found first when many are alike. */
function usualLast(bits: Float32Array): Int32Array {
  return Int32Array.from(bits.keys()).sort((a, b) => (bits[b] as number) - (bits[a] as number) || a - b);
}
