import type { ByteOrder } from "../bytes/word.js";
import { KeyTable } from "./key-table.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** Places where a value may stand apart from its range, found by what stands there. */
export interface Places {
  readonly table: KeyTable;
  /** For each entry of the table's keys: where it stands, and how it was read. */
  readonly offsets: Int32Array;
  readonly littleFrom: number;
  /** How many different places there are. */
  readonly count: number;
}

/** Words of `bytes` followed by their complement: whoever writes both means them as a check. */
export function complementedPlaces(site: Site, bytes: number): Places | undefined {
  return site.kept(`places complemented ${bytes}`, () => {
    const offsets = site.complements(bytes);
    return offsets.length === 0 || offsets.length > 1024 ? undefined : placesAt(site, bytes, offsets);
  });
}

/** Words that are not the same in any two contents, as the values of ranges that differ must be. */
export function changingPlaces(site: Site, bytes: number): Places | undefined {
  const { contents } = site.ground;
  if (contents.length < 2) return undefined;
  return site.kept(`places changing ${bytes}`, () => {
    const changing = everyPlace(site, bytes).filter((at) => {
      const seen = contents.map((content) => valueAt(content, at, bytes, "big"));
      return new Set(seen).size === seen.length;
    });
    return changing.length === 0 ? undefined : placesAt(site, bytes, changing);
  });
}

/** All words of `bytes`. */
export function allPlaces(site: Site, bytes: number): Places {
  return site.kept(`places all ${bytes}`, () => placesAt(site, bytes, everyPlace(site, bytes)));
}

function everyPlace(site: Site, bytes: number): Int32Array {
  const { address, length } = site.ground;
  const step = bytes === 3 ? 1 : bytes;
  const first = (step - (address % step)) % step;
  return Int32Array.from(
    { length: Math.max(0, Math.floor((length - bytes - first) / step) + 1) },
    (_, i) => first + step * i,
  );
}

/** How many contents have to be looked at together so that 32 bits can agree. */
export function contentsTogether(site: Site, bytes: number): number {
  return Math.min(site.ground.contents.length, Math.ceil(4 / bytes));
}

function placesAt(site: Site, bytes: number, candidates: Int32Array): Places {
  const contents = site.ground.contents.slice(0, contentsTogether(site, bytes));
  const first = contents[0] as Uint8Array;
  const offsets = candidates.filter((at) => !isTrivial(valueAt(first, at, bytes, "big"), 8 * bytes));
  const orders: readonly ByteOrder[] = bytes === 1 ? ["big"] : ["big", "little"];
  const all = new Int32Array(orders.length * offsets.length);
  for (let i = 0; i < orders.length; i++) all.set(offsets, i * offsets.length);
  const keys = contents.map((content) => {
    const key = new Int32Array(all.length);
    for (const [i, order] of orders.entries()) {
      for (const [k, at] of offsets.entries()) key[i * offsets.length + k] = valueAt(content, at, bytes, order);
    }
    return key;
  });
  const indices = Int32Array.from(all, (_, i) => i);
  return {
    table: new KeyTable(keys, indices),
    offsets: all,
    littleFrom: offsets.length,
    count: offsets.length,
  };
}
