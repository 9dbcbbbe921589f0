import type { ByteOrder } from "../bytes/word.js";
import { admitted } from "./admit.js";
import type { Family, Keys } from "./family.js";
import { SHORTEST_RANGE } from "./ground.js";
import type { Hit } from "./hit.js";
import { addressingsOf, wordAt } from "./pointers.js";
import { ordersOf } from "./search-words.js";
import { type Site, valueAt } from "./site.js";

/** Two words in a row that bound a range of the ground. */
interface Descriptor {
  /** Where they stand. */
  readonly at: number;
  readonly start: number;
  readonly end: number;
  /** Where a third word points, when it does. */
  readonly pointed: number | undefined;
}

/** More descriptors than this are numbers that mean something else. */
const most = 6000;

/** Where the value of a descriptor's range may stand: beside its words, beside the range, or where a third word points. */
const placesOfEach = 6;

/** Ranges that two neighbouring words of the image bound, with the value beside those words, behind the range, or where a third points. */
export function searchDescribed(site: Site, family: Family, familyIndex: number): Hit[] {
  const described = site.kept(`described ${family.width}/${family.step}`, () => new Described(site, family));
  const { descriptors, offsets, starts, ends, standing, places } = described;
  if (descriptors.length === 0) return [];
  const { contents } = site.ground;
  const bytes = family.width / 8;
  const keys: (Keys | undefined)[] = [];
  const keysAt = (content: number) => {
    keys[content] ??= family.keysOf(contents[content] as Uint8Array, offsets);
    return keys[content] as Keys;
  };
  const bits = Math.log2(descriptors.length);
  const hits: Hit[] = [];
  const orders = ordersOf(family);
  for (const [variant, one] of family.variants.entries()) {
    for (let i = 0; i < descriptors.length; i++) {
      const [a, b] = [starts[i] as number, ends[i] as number];
      const value = one.toStored(keysAt(0).value(a, b, one.init));
      for (let o = 0; o < orders.length; o++) {
        const order = orders[o] as ByteOrder;
        const row = standing[o] as Int32Array;
        for (let p = placesOfEach * i; p < placesOfEach * (i + 1); p++) {
          if (row[p] !== value || (places[p] as number) < 0) continue;
          const stored = places[p] as number;
          const raws = contents.map((content) => one.toRaw(valueAt(content, stored, bytes, order)));
          if (!raws.every((raw, content) => keysAt(content).value(a, b, one.init) === raw)) continue;
          const { at, start, end } = descriptors[i] as Descriptor;
          const hit = admitted(site, family, familyIndex, {
            variant,
            order,
            place: "described",
            start,
            end,
            stored,
            raws,
            cost: { bits, kindBits: 0, kind: "described" },
            within: Math.log2(placesOfEach),
            descriptor: at,
          });
          if (hit) hits.push(hit);
        }
      }
    }
  }
  return hits;
}

/** The descriptors of a ground for values of one size, with what stands where these may stand. */
class Described {
  readonly descriptors: readonly Descriptor[];
  readonly offsets: Int32Array;
  /** The index of each range's ends among `offsets`. */
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  /** Six for each descriptor, -1 where there is none. */
  readonly places: Int32Array;
  /** For each order, what stands at `places` in the first content. */
  readonly standing: readonly Int32Array[];

  constructor(site: Site, family: Family) {
    const { ground } = site;
    const bytes = family.width / 8;
    this.descriptors = site
      .kept("descriptors", () => findDescriptors(site))
      .filter(({ start, end }) => start % family.step === 0 && end % family.step === 0);
    this.offsets = Int32Array.from(new Set(this.descriptors.flatMap(({ start, end }) => [start, end]))).sort();
    const indexOf = new Map(Array.from(this.offsets, (offset, i) => [offset, i]));
    this.starts = Int32Array.from(this.descriptors, ({ start }) => indexOf.get(start) as number);
    this.ends = Int32Array.from(this.descriptors, ({ end }) => indexOf.get(end) as number);
    this.places = Int32Array.from(
      this.descriptors.flatMap(({ at, start, end, pointed = -1 }) => {
        const all = [at + 8, at + 12, at - bytes, end, start - bytes, pointed];
        return all.map((place, i) =>
          place >= 0 && place + bytes <= ground.length && all.indexOf(place) === i ? place : -1,
        );
      }),
    );
    const content = ground.contents[0] as Uint8Array;
    this.standing = ordersOf(family).map((order) =>
      this.places.map((place) => (place < 0 ? 0 : valueAt(content, place, bytes, order))),
    );
  }
}

/** All descriptors of a ground that read the same in every content. */
function findDescriptors(site: Site): readonly Descriptor[] {
  const { ground } = site;
  const [first, ...others] = ground.contents as readonly [Uint8Array, ...Uint8Array[]];
  const byRange = new Map<string, Descriptor>();
  for (const { order, base } of addressingsOf(ground)) {
    const here: Descriptor[] = [];
    for (let at = (4 - (ground.address % 4)) % 4; at + 8 <= ground.length && here.length <= most; at += 4) {
      const start = wordAt(first, at, order) - base;
      if (start < 0 || start + SHORTEST_RANGE > ground.length) continue;
      const second = wordAt(first, at + 4, order);
      if (
        !others.every(
          (content) => wordAt(content, at, order) === start + base && wordAt(content, at + 4, order) === second,
        )
      )
        continue;
      const third = at + 12 <= ground.length ? wordAt(first, at + 8, order) - base : -1;
      const pointed = third >= 0 && third < ground.length ? third : undefined;
      const ends = second === 0 ? [] : [second - base, second - base + 1, start + second];
      for (const end of new Set(ends)) {
        if (end - start >= SHORTEST_RANGE && end <= ground.length) here.push({ at, start, end, pointed });
      }
    }
    if (here.length > most) continue;
    for (const one of here) byRange.set(`${one.at}:${one.start}:${one.end}`, one);
  }
  return [...byRange.values()];
}
