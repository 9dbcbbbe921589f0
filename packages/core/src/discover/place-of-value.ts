import { algorithmOf } from "../algorithms/algorithm.js";
import { isClosed } from "./closed.js";
import type { Hit } from "./hit.js";
import type { SeekPlan } from "./plan.js";
import { isTrivial, valueAt } from "./site.js";

/** More places than this are counted, not listed. */
const mostListed = 16;

/** A range that comes to a constant with its value in it, so that no data tell which of its words is the value. */
export interface UntoldPlace {
  /** Offsets in the ground. */
  readonly start: number;
  readonly end: number;
  /** What all of it comes to. */
  readonly constant: bigint;
  /** Where the value may stand, in ascending order, and where it most likely does. */
  readonly places: readonly number[];
  readonly likeliest: number;
}

/** How many places there are, and where they are when they are few. */
export interface PossiblePlaces {
  readonly count: number;
  /** Addresses, in ascending order; left out when there are more than 16. */
  readonly at?: readonly number[];
}

export function possibleOf(places: readonly number[], address: number): PossiblePlaces {
  const count = places.length;
  return count <= mostListed ? { count, at: places.map((at) => address + at) } : { count };
}

/**
 * The offsets of the words of `bytes` in a range that may be its value when all of it comes to a constant: those that are
 * no mere fill, and that differ between any two contents that differ in the range, as the value of each must.
 */
export function placesOfValue(contents: readonly Uint8Array[], start: number, end: number, bytes: number): number[] {
  const own = contents.filter((content, i) => {
    const differs = (other: Uint8Array) => differ(content, other, start, end);
    return contents.slice(0, i).every(differs);
  });
  const places: number[] = [];
  for (let at = start; at + bytes <= end; at += bytes) {
    const values = own.map((content) => valueAt(content, at, bytes, "big"));
    if (values.every((value) => !isTrivial(value, 8 * bytes)) && new Set(values).size === own.length) places.push(at);
  }
  return places;
}

function differ(one: Uint8Array, other: Uint8Array, start: number, end: number): boolean {
  for (let at = start; at < end; at++) if (one[at] !== other[at]) return true;
  return false;
}

/** What `hit` comes to as a whole, when no data tell where its value stands; undefined when they do. */
export function untoldPlace({ sites, families }: SeekPlan, hit: Hit): UntoldPlace | undefined {
  const family = families[hit.family];
  const variant = family?.variants[hit.variant];
  const contents = sites[hit.ground]?.ground.contents;
  if (!family || !variant || !contents || hit.complemented || hit.place === "described") return undefined;
  const bytes = family.width / 8;
  if (!isClosed(family, variant, hit)) return undefined;
  const [start, end] =
    hit.place === "whole"
      ? [hit.start, hit.end]
      : [Math.min(hit.start, hit.stored), Math.max(hit.end, hit.stored + bytes)];
  // Modulo 2**width - 1 nothing and all ones are one: what the algorithm itself gives is told.
  const running = algorithmOf(variant.algorithm).start();
  running.update((contents[0] as Uint8Array).subarray(start, end));
  const places = placesOfValue(contents, start, end, bytes);
  const likeliest = places.includes(hit.stored) ? hit.stored : (places.at(-1) ?? hit.stored);
  return { start, end, constant: running.value(), places, likeliest };
}
