import type { ByteOrder } from "../bytes/word.js";
import { admitted, type Candidate } from "./admit.js";
import { asides, type Boundaries, costOfRange, usualFirst } from "./boundaries.js";
import type { Family, Keys, Variant } from "./family.js";
import { SHORTEST_RANGE } from "./ground.js";
import type { Hit } from "./hit.js";
import { mix } from "./key-table.js";
import { allPlaces, changingPlaces, complementedPlaces, type Places, slotOf } from "./places.js";
import { ordersOf, worthEveryWord } from "./search-words.js";
import { Sieve } from "./sieve.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** So many boundaries are tried as starts, and as ends, by how many bits can agree at most. */
function mostSides(bits: number): number {
  return bits >= 32 ? 2200 : bits >= 24 ? 1500 : bits >= 16 ? 800 : 160;
}
/** Any word at all can be the value of so few ranges only, from one image. */
const mostForAnyWord = 300;
const mostAlike = 8;

/**
 * Ranges from boundary to boundary of structure, each of them tried: with the value behind and before it where that is
 * not looked up, and with the value somewhere else.
 */
export function searchBlocks(site: Site, family: Family, familyIndex: number): Hit[] {
  return new BlockSearch(site, family, familyIndex).hits();
}

class BlockSearch {
  readonly #hits: Hit[] = [];
  readonly #bytes: number;
  readonly #boundaries: Boundaries;
  readonly #keys: readonly Keys[];
  readonly #starts: Int32Array;
  readonly #ends: Int32Array;
  readonly #places: readonly { readonly places: Places; readonly most: number }[];

  constructor(
    readonly site: Site,
    readonly family: Family,
    readonly familyIndex: number,
  ) {
    this.#bytes = family.width / 8;
    this.#boundaries = site.structure(this.#bytes, family.step);
    const { contents } = site.ground;
    this.#keys = contents.map((content) => family.keysOf(content, this.#boundaries.offsets));
    const most = mostSides(Math.min(family.width * contents.length, 2 * family.width));
    this.#starts = usualFirst(this.#boundaries.starts.bits, most).sort();
    // With the value behind already looked up, none stands between a range and the boundary behind it.
    const { bits, aside } = this.#boundaries.ends;
    const plain = bits.map((each, i) => (aside[i] === asides.none ? each : Number.POSITIVE_INFINITY));
    this.#ends = usualFirst(worthEveryWord(site, family) ? plain : bits, most);
    const complemented = complementedPlaces(site, this.#bytes);
    const changing = changingPlaces(site, this.#bytes);
    const any = changing === undefined && family.width === 32 ? allPlaces(site, this.#bytes) : undefined;
    this.#places = [
      ...(complemented ? [{ places: complemented, most: 2000 }] : []),
      ...(changing ? [{ places: changing, most: 2000 }] : []),
      ...(any ? [{ places: any, most: mostForAnyWord }] : []),
    ];
  }

  hits(): Hit[] {
    const { family } = this;
    const joined = worthEveryWord(this.site, family);
    for (const init of new Set(family.variants.map((variant) => variant.init))) {
      const variants = [...family.variants.entries()].filter(([, variant]) => variant.init === init);
      this.#sweep(init, variants, { after: !joined, before: !(joined && family.joins === "both") });
    }
    return this.#hits;
  }

  #sweep(init: number, variants: readonly (readonly [number, Variant])[], beside: { after: boolean; before: boolean }) {
    const { family } = this;
    const { offsets, starts, ends } = this.#boundaries;
    const keys = this.#keys.map((each) => {
      const all = each.starts(init);
      return this.#starts.map((start) => all[start] as number);
    });
    const values = this.#keys.map(() => new Int32Array(this.#starts.length));
    const stored = values.map(() => new Int32Array(1));
    const together = this.#places[0]?.places.table.keys.length ?? 1;
    stored.length = together;
    const tried = new Int32Array(this.#starts.length);
    const behind = beside.after ? this.#targets(variants, this.#ends, 0) : [];
    const ahead = beside.before ? this.#targets(variants, this.#starts, -this.#bytes) : [];
    const sieve = sieveOf(ahead);
    const apart = this.#places.map(({ places, most }) => ({
      places,
      among: sieveOfPlaces(places, variants),
      startBits: limitOf(starts.bits, most),
      endBits: limitOf(ends.bits, most),
    }));
    for (const [e, end] of this.#ends.entries()) {
      let count = 0;
      const last = (offsets[end] as number) - SHORTEST_RANGE;
      while (count < this.#starts.length && (offsets[this.#starts[count] as number] as number) <= last) count++;
      if (count === 0) continue;
      const first = values[0] as Int32Array;
      for (let k = 0; k < (apart.length > 0 ? together : 1); k++) {
        this.#keys[k]?.valuesTo(end, this.#starts, keys[k] as Int32Array, count, values[k] as Int32Array);
      }
      for (const { variant, order, raws, known } of behind) {
        if (!known[e]) continue;
        const raw = raws[e] as number;
        for (let s = 0; s < count; s++) {
          if (first[s] === raw)
            this.#check(variant, order, "after", this.#starts[s] as number, end, offsets[end] as number, init);
        }
      }
      for (let s = 0; s < count && ahead.length > 0; s++) {
        if (!sieve.has(first[s] as number, s)) continue;
        const start = this.#starts[s] as number;
        for (const { variant, order, raws, known } of ahead) {
          if (first[s] !== raws[s] || !known[s]) continue;
          this.#check(variant, order, "before", start, end, (offsets[start] as number) - this.#bytes, init);
        }
      }
      for (const { places, among, startBits, endBits } of apart) {
        if ((ends.bits[end] as number) > endBits) continue;
        let useful = 0;
        for (let s = 0; s < count; s++) {
          if (among && !among.has(first[s] as number)) continue;
          if ((starts.bits[this.#starts[s] as number] as number) > startBits) continue;
          // A value that changes belongs to a range that does.
          if (together > 1 && first[s] === (values[1] as Int32Array)[s]) continue;
          tried[useful++] = s;
        }
        for (const [variant, { toStored }] of variants) {
          for (let i = 0; i < useful; i++) {
            const s = tried[i] as number;
            const value = toStored(first[s] as number);
            if (places.filter[slotOf(value)] === 0) continue;
            for (let k = 0; k < together; k++) {
              (stored[k] as Int32Array)[0] = toStored((values[k] as Int32Array)[s] as number);
            }
            const mixed = mix(stored, 0);
            for (let entry = places.table.find(mixed), alike = 0; entry >= 0 && alike < mostAlike; alike++) {
              const at = places.offsets[entry] as number;
              const order: ByteOrder = family.width === 8 || entry < places.littleFrom ? "big" : "little";
              this.#check(variant, order, "apart", this.#starts[s] as number, end, at, init, Math.log2(places.count));
              entry = places.table.find(mixed, entry);
            }
          }
        }
      }
    }
  }

  /** What the values at `distance` from some boundaries have to be, for each variant and order, in the first content. */
  #targets(variants: readonly (readonly [number, Variant])[], at: Int32Array, distance: number) {
    const { contents, length } = this.site.ground;
    const content = contents[0] as Uint8Array;
    const { offsets } = this.#boundaries;
    return variants.flatMap(([variant, { toRaw }]) =>
      ordersOf(this.family).map((order) => {
        const raws = new Int32Array(at.length);
        const known = new Uint8Array(at.length);
        for (let i = 0; i < at.length; i++) {
          const from = (offsets[at[i] as number] as number) + distance;
          if (from < 0 || from + this.#bytes > length) continue;
          const stored = valueAt(content, from, this.#bytes, order);
          if (isTrivial(stored, this.family.width)) continue;
          raws[i] = toRaw(stored);
          known[i] = 1;
        }
        return { variant, order, raws, known };
      }),
    );
  }

  #check(
    variant: number,
    order: ByteOrder,
    place: Candidate["place"],
    start: number,
    end: number,
    stored: number,
    init: number,
    within = 0,
  ): void {
    const { toRaw } = this.family.variants[variant] as Variant;
    const raws: number[] = [];
    for (const [i, content] of this.site.ground.contents.entries()) {
      const raw = toRaw(valueAt(content, stored, this.#bytes, order));
      if ((this.#keys[i] as Keys).value(start, end, init) !== raw) return;
      raws.push(raw);
    }
    const { offsets } = this.#boundaries;
    const hit = admitted(this.site, this.family, this.familyIndex, {
      variant,
      order,
      place,
      start: offsets[start] as number,
      end: offsets[end] as number,
      stored,
      raws,
      cost: costOfRange(this.site.ground, this.#boundaries, start, end),
      within,
    });
    if (hit) this.#hits.push(hit);
  }
}

/** What the values of some places have to be, for each variant. */
interface Targets {
  readonly raws: Int32Array;
  readonly known: Uint8Array;
}

function sieveOf(targets: readonly Targets[]): Sieve {
  const sieve = new Sieve();
  for (const { raws, known } of targets) {
    for (let s = 0; s < raws.length; s++) if (known[s]) sieve.add(raws[s] as number, s);
  }
  return sieve;
}

/** A sieve with more than this lets too much through. */
const mostInSieve = 200_000;

/** All that stands at some places as the keys of `variants` give it; none where that is too much. */
function sieveOfPlaces({ table }: Places, variants: readonly (readonly [number, Variant])[]): Sieve | undefined {
  const standing = table.keys[0] as Int32Array;
  if (standing.length * variants.length > mostInSieve) return undefined;
  const sieve = new Sieve();
  for (const [, { toRaw }] of variants) for (const value of standing) sieve.add(toRaw(value));
  return sieve;
}

/** The bits that so many boundaries do not exceed. */
function limitOf(bits: Float32Array, most: number): number {
  const finite = bits.filter((each) => each !== Number.POSITIVE_INFINITY).sort();
  return finite.length === 0 ? -1 : (finite[Math.min(most, finite.length) - 1] as number);
}
