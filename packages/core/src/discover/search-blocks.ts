import type { ByteOrder } from "../bytes/word.js";
import { admitted, type Candidate, worstOddsApart } from "./admit.js";
import { asides, type Boundaries, bitsOfRange, costOfRange, usualFirst } from "./boundaries.js";
import type { Family, Keys, Variant } from "./family.js";
import { SHORTEST_RANGE } from "./ground.js";
import type { Hit } from "./hit.js";
import { mix } from "./key-table.js";
import { allPlaces, changingPlaces, complementedPlaces, type Places } from "./places.js";
import { ordersOf, worthEveryWord } from "./search-words.js";
import { Sieve } from "./sieve.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** So many boundaries are tried as starts, and as ends, by how many bits can agree at most. */
function mostSides(bits: number): number {
  return bits >= 32 ? 2200 : bits >= 24 ? 1500 : bits >= 16 ? 800 : 160;
}
/** Any word at all can be the value of so few ranges only, from one image. */
const mostForAnyWord = 300;
/** Where the images differ in very many places, the most usual ranges have to do. */
const manyPlaces = 16384;
const mostForManyPlaces = 600;
const mostAlike = 8;

/**
 * Ranges from boundary to boundary of structure, each of them tried: with the value behind and before it where that is
 * not looked up, and with the value somewhere else.
 */
export function searchBlocks(site: Site, family: Family, familyIndex: number): Hit[] {
  return new BlockSearch(site, family, familyIndex).hits();
}

/** Places apart from ranges, and the boundaries that are tried with them. */
interface Apart {
  readonly places: Places;
  readonly startBits: number;
  readonly endBits: number;
  /** What costs more cannot be proved away there. */
  readonly bits: number;
}

class BlockSearch {
  readonly #hits: Hit[] = [];
  readonly #bytes: number;
  readonly #boundaries: Boundaries;
  readonly #keys: readonly Keys[];
  readonly #starts: Int32Array;
  readonly #ends: Int32Array;
  readonly #places: readonly Apart[];
  /** Room for the starts that are looked at for one end, their keys, and the values in each content. */
  readonly #from: Int32Array;
  readonly #own: Int32Array;
  readonly #values: readonly Int32Array[];
  readonly #stored = [0, 1, 2, 3].map(() => new Int32Array(1));

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
    const joined = worthEveryWord(site, family);
    const { starts, ends } = site.kept(`sides ${this.#bytes}/${family.step}/${most}/${joined}`, () => {
      // With the value behind already looked up, none stands between a range and the boundary behind it.
      const { bits, aside } = this.#boundaries.ends;
      const plain = bits.map((each, i) => (aside[i] === asides.none ? each : Number.POSITIVE_INFINITY));
      return { starts: usualFirst(this.#boundaries.starts.bits, most), ends: usualFirst(joined ? plain : bits, most) };
    });
    this.#starts = starts;
    this.#ends = ends;
    this.#from = new Int32Array(starts.length);
    this.#own = new Int32Array(starts.length);
    this.#values = contents.map(() => new Int32Array(starts.length));
    const complemented = complementedPlaces(site, this.#bytes);
    const changing = changingPlaces(site, this.#bytes);
    const any = changing === undefined && family.width === 32 ? allPlaces(site, this.#bytes) : undefined;
    const placed = (places: Places, most: number) => {
      const limit = (side: "starts" | "ends") =>
        site.kept(`limit ${side} ${this.#bytes}/${family.step}/${most}`, () =>
          limitOf(this.#boundaries[side].bits, most),
        );
      const bits = family.width * contents.length + worstOddsApart - Math.log2(places.count) - site.bits;
      return { places, startBits: limit("starts"), endBits: limit("ends"), bits };
    };
    this.#places = [
      ...(complemented ? [placed(complemented, 2000)] : []),
      ...(changing ? [placed(changing, changing.count > manyPlaces ? mostForManyPlaces : 2000)] : []),
      ...(any ? [placed(any, mostForAnyWord)] : []),
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
    const { offsets, starts: sides, ends } = this.#boundaries;
    const starts = this.#starts;
    const lowest = starts.map((start) => (offsets[start] as number) + SHORTEST_RANGE);
    const keys = this.#keys.map((each) => {
      const all = each.starts(init);
      return starts.map((start) => all[start] as number);
    });
    const first = new Int32Array(starts.length);
    const passed = new Int32Array(starts.length);
    const behind = beside.after ? this.#targets(variants, this.#ends, 0) : [];
    const ahead = beside.before ? this.#targets(variants, starts, -this.#bytes) : [];
    const sieve = sieveOf(ahead);
    const pairs = (this.#starts.length * this.#ends.length) / 2;
    const apart = this.#places.map((one) => ({ ...one, sieve: sieveOfPlaces(one.places, variants, pairs) }));
    let count = 0;
    for (const [e, end] of this.#ends.entries()) {
      while (count < starts.length && (lowest[count] as number) <= (offsets[end] as number)) count++;
      const here = apart.filter(({ endBits }) => (ends.bits[end] as number) <= endBits);
      const after = behind.filter(({ known }) => known[e]);
      if (count === 0 || (after.length === 0 && ahead.length === 0 && here.length === 0)) continue;
      (this.#keys[0] as Keys).valuesTo(end, starts, keys[0] as Int32Array, count, first);
      for (const { variant, order, raws } of after) {
        const raw = raws[e] as number;
        for (let s = first.indexOf(raw); s >= 0 && s < count; s = first.indexOf(raw, s + 1))
          this.#check(variant, order, "after", starts[s] as number, end, offsets[end] as number, init);
      }
      const tellings = ahead.length > 0 ? sieve.passingOwn(first, count, passed) : 0;
      for (let i = 0; i < tellings; i++) {
        const s = passed[i] as number;
        const start = starts[s] as number;
        for (const { variant, order, raws, known } of ahead) {
          if (first[s] !== raws[s] || !known[s]) continue;
          this.#check(variant, order, "before", start, end, (offsets[start] as number) - this.#bytes, init);
        }
      }
      for (const { places, sieve, startBits, bits } of here) {
        let useful = 0;
        const all = sieve?.passing(first, count, passed) ?? count;
        for (let i = 0; i < all; i++) {
          const s = sieve ? (passed[i] as number) : i;
          const start = starts[s] as number;
          if ((sides.bits[start] as number) > startBits) continue;
          if (bitsOfRange(this.site.ground, this.#boundaries, start, end) <= bits) passed[useful++] = s;
        }
        if (useful > 0) this.#apart(places, variants, keys, first, passed, useful, end, init);
      }
    }
  }

  /** Looks up the values of the ranges to `end` from the starts that `passed` names, each in every form. */
  #apart(
    { table, offsets, littleFrom, count }: Places,
    variants: readonly (readonly [number, Variant])[],
    keys: readonly Int32Array[],
    first: Int32Array,
    passed: Int32Array,
    useful: number,
    end: number,
    init: number,
  ): void {
    const starts = this.#starts;
    const [from, own, values] = [this.#from, this.#own, this.#values];
    const together = table.keys.length;
    for (let i = 0; i < useful; i++) {
      const s = passed[i] as number;
      from[i] = starts[s] as number;
      (values[0] as Int32Array)[i] = first[s] as number;
    }
    for (let k = 1; k < together; k++) {
      for (let i = 0; i < useful; i++) own[i] = (keys[k] as Int32Array)[passed[i] as number] as number;
      this.#keys[k]?.valuesTo(end, from, own, useful, values[k] as Int32Array);
    }
    const stored = this.#stored.slice(0, together);
    for (let i = 0; i < useful; i++) {
      // A value that changes belongs to a range that does.
      if (together > 1 && (values[0] as Int32Array)[i] === (values[1] as Int32Array)[i]) continue;
      for (const [variant, { toStored }] of variants) {
        for (let k = 0; k < together; k++) {
          (stored[k] as Int32Array)[0] = toStored((values[k] as Int32Array)[i] as number);
        }
        const mixed = mix(stored, 0);
        if (!table.has(mixed)) continue;
        let entry = table.find(mixed);
        for (let alike = 0; entry >= 0 && alike < mostAlike; alike++) {
          const at = offsets[entry] as number;
          const order: ByteOrder = this.family.width === 8 || entry < littleFrom ? "big" : "little";
          this.#check(variant, order, "apart", from[i] as number, end, at, init, Math.log2(count));
          entry = table.next(entry);
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
  const sieve = new Sieve(targets.reduce((sum, { raws }) => sum + raws.length, 0));
  for (const { raws, known } of targets) {
    for (let s = 0; s < raws.length; s++) if (known[s]) sieve.add(raws[s] as number, s);
  }
  return sieve;
}

/** All that stands at some places in the first content, as the keys of `variants` give it; none where it costs more than it saves. */
function sieveOfPlaces(
  { table }: Places,
  variants: readonly (readonly [number, Variant])[],
  pairs: number,
): Sieve | undefined {
  const standing = table.keys[0] as Int32Array;
  const size = standing.length * variants.length;
  if (size > pairs / 4) return undefined;
  const sieve = new Sieve(size);
  for (const [, { toRaw }] of variants) for (const value of standing) sieve.add(toRaw(value));
  return sieve;
}

/** The bits that so many boundaries do not exceed. */
function limitOf(bits: Float32Array, most: number): number {
  const finite = bits.filter((each) => each !== Number.POSITIVE_INFINITY).sort();
  return finite.length === 0 ? -1 : (finite[Math.min(most, finite.length) - 1] as number);
}
