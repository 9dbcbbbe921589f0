import { admitted } from "./admit.js";
import type { Family } from "./family.js";
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

/** Ranges that two neighbouring words of the image bound, with the value beside those words, behind the range, or where a third points. */
export function searchDescribed(site: Site, family: Family, familyIndex: number): Hit[] {
  const descriptors = site
    .kept("descriptors", () => findDescriptors(site))
    .filter(({ start, end }) => start % family.step === 0 && end % family.step === 0);
  if (descriptors.length === 0) return [];
  const { ground } = site;
  const bytes = family.width / 8;
  const offsets = Int32Array.from(new Set(descriptors.flatMap(({ start, end }) => [start, end]))).sort();
  const indexOf = new Map(Array.from(offsets, (offset, i) => [offset, i]));
  const keys = ground.contents.map((content) => family.keysOf(content, offsets));
  const bits = Math.log2(descriptors.length);
  const hits: Hit[] = [];
  for (const { at, start, end, pointed } of descriptors) {
    const [a, b] = [indexOf.get(start) as number, indexOf.get(end) as number];
    const places = [at + 8, at + 12, at - bytes, end, start - bytes, pointed].filter(
      (place): place is number => place !== undefined && place >= 0 && place + bytes <= ground.length,
    );
    let init: number | undefined;
    let value = 0;
    for (const [variant, one] of family.variants.entries()) {
      if (one.init !== init) {
        init = one.init;
        value = (keys[0] as (typeof keys)[number]).value(a, b, init);
      }
      for (const order of ordersOf(family)) {
        for (const stored of new Set(places)) {
          if (one.toRaw(valueAt(ground.contents[0] as Uint8Array, stored, bytes, order)) !== value) continue;
          const raws = ground.contents.map((content) => one.toRaw(valueAt(content, stored, bytes, order)));
          if (!keys.every((each, content) => each.value(a, b, one.init) === raws[content])) continue;
          const hit = admitted(site, family, familyIndex, {
            variant,
            order,
            place: "described",
            start,
            end,
            stored,
            raws,
            cost: { bits, kindBits: 0, kind: "described" },
            within: Math.log2(6),
            descriptor: at,
          });
          if (hit) hits.push(hit);
        }
      }
    }
  }
  return hits;
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
