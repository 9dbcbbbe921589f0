import type { CrcModel } from "../algorithms/crc.js";
import { crcFamily } from "./crc-family.js";
import { Field, reversedBits } from "./field.js";
import { quotientsOf } from "./quotients.js";
import { type Site, valueAt } from "./site.js";
import type { Recovered } from "./unknown-differences.js";
import type { End } from "./unknown-ends.js";
import { type Guess, lowestFrom } from "./unknown-places.js";

/** A recovered polynomial with the place where it was found. */
export interface PlacedCrc extends Recovered {
  /** What it may cover, each with the ends that the range may have then. */
  readonly covers: readonly { readonly guess: Guess; readonly ends: readonly End[] }[];
}

/** A CRC that no catalogue needs to have, and how unusual it is among all there could be, in bits. */
export interface RecoveredCrc {
  readonly model: Omit<CrcModel, "name">;
  readonly bits: number;
}

/** So many starts, the most usual, serve to solve for the register's start. */
const mostStarts = 24;
const mostSolved = 16;
/** Polynomials that few places speak for are chance. */
const mostPolynomials = 4;
const naturalBits = 2;
const leftOverBits = 10;

/**
 * The CRC of each polynomial in `found`: what the register holds before the first byte and what is added at the end. All
 * zeros and all ones are tried with every start that the range may have; two ranges of different lengths give any.
 */
export function registersOf(
  site: Site,
  contents: readonly Uint8Array[],
  differing: Int32Array,
  found: readonly PlacedCrc[],
): RecoveredCrc[] {
  const groups = new Map<string, PlacedCrc[]>();
  for (const one of found) {
    const name = `${8 * one.guess.bytes}/${one.poly}/${one.reflected}`;
    groups.set(name, [...(groups.get(name) ?? []), one]);
  }
  const fullest = [...groups.values()].sort((a, b) => b.length - a.length).slice(0, mostPolynomials);
  return fullest.flatMap((group) => {
    const { guess, poly, reflected } = group[0] as PlacedCrc;
    const width = 8 * guess.bytes;
    const places = group.map((one) => new Place(site, contents[0] as Uint8Array, differing, one));
    const register = registerOf(places, width);
    if (!register) return [];
    const { init, added, bits } = register;
    const turned = reflected ? reversedBits(added, width) : added;
    const unsigned = (value: number) => BigInt.asUintN(width, BigInt(value));
    const shape = { width, poly: unsigned(poly), refin: reflected, refout: reflected };
    // Every odd polynomial, in either bit order, was as good.
    return [{ model: { ...shape, init: unsigned(init), xorout: unsigned(turned) }, bits: width + bits }];
  });
}

interface Register {
  readonly init: number;
  /** What is added at the end, as the register has it before it is turned over. */
  readonly added: number;
  readonly bits: number;
}

function registerOf(places: readonly Place[], width: number): Register | undefined {
  const ones = width === 32 ? -1 : 2 ** width - 1;
  const natural = [0, ones].flatMap((init) => [0, ones].map((added) => ({ init, added, bits: naturalBits })));
  const first = places[0] as Place;
  const plain = { init: 0, added: first.addedWith(0), bits: width + naturalBits };
  const solved = places.slice(1, 3).flatMap((other) => solvedFrom(first, other, width));
  let best: { register: Register; bits: number } | undefined;
  for (const register of [...natural, plain, ...solved]) {
    const every = natural.includes(register) || register === plain;
    const each = places.map((place) => place.bitsOf(register, every));
    if (!each.some(Number.isFinite)) continue;
    const bits = each.reduce((sum, one) => sum + Math.min(one, width + leftOverBits), register.bits);
    if (!best || bits < best.bits) best = { register, bits };
  }
  return best?.register;
}

/** The registers for which two ranges come out right, for each of their most usual starts. */
function solvedFrom(one: Place, other: Place, width: number): Register[] {
  const ones = width === 32 ? -1 : 2 ** width - 1;
  const { field } = one;
  const found: Register[] = [];
  for (const a of one.usual(mostSolved)) {
    for (const b of other.usual(mostSolved)) {
      const [one, other] = [a, b].map(({ start, end }) => field.power(8 * (end - start))) as [number, number];
      for (const init of quotientsOf(a.added ^ b.added, one ^ other, field)) {
        const added = a.added ^ field.multiply(init, one);
        const known = [0, ones];
        const bits = (known.includes(init) ? naturalBits : width) + (known.includes(added) ? naturalBits : width);
        found.push({ init, added, bits });
      }
    }
  }
  return found;
}

interface Extent {
  readonly start: number;
  readonly end: number;
  /** What has to be added when the register is empty before the first byte. */
  readonly added: number;
  readonly bits: number;
}

/** A place where the polynomial was found, with the ranges that it may have. */
class Place {
  readonly field: Field;
  readonly #extents: readonly Extent[];
  readonly #powers = new Map<number, number>();

  constructor(site: Site, content: Uint8Array, differing: Int32Array, placed: PlacedCrc) {
    const { guess, order, reflected, poly, covers } = placed;
    const { stored, bytes } = guess;
    const width = (8 * bytes) as 8 | 16 | 32;
    this.field = new Field(width, poly);
    const stands = valueAt(content, stored, bytes, order);
    const value = reflected ? reversedBits(stands, width) : stands;
    const emptied = content.slice();
    emptied.fill(0, stored, stored + bytes);
    const { offsets, starts } = site.everyWord(bytes, 1);
    const keys = crcFamily("", { width, poly, reflected }, [], 0).keysOf(emptied, offsets);
    const extents = new Map<string, Extent>();
    for (const { guess, ends } of covers) {
      const lowest = lowestFrom(offsets, lowestStart(differing, guess));
      for (const { offset: end, bits } of ends) {
        const last = lowestFrom(offsets, end);
        for (let i = lowest; i < offsets.length && (offsets[i] as number) <= guess.first; i++) {
          const start = offsets[i] as number;
          if ((start > stored && start < stored + bytes) || starts.bits[i] === Number.POSITIVE_INFINITY) continue;
          const added = keys.value(i, last, 0) ^ value;
          extents.set(`${start}/${end}`, { start, end, added, bits: (starts.bits[i] as number) + bits });
        }
      }
    }
    this.#extents = [...extents.values()].sort((a, b) => a.bits - b.bits);
  }

  /** How unusual the range is with which `register` comes out right here; infinite when it does with none. */
  bitsOf({ init, added }: Register, every: boolean): number {
    const all = every ? this.#extents : this.#extents.slice(0, mostStarts);
    const right = all.find(
      (extent) => (extent.added ^ this.field.multiply(init, this.#power(extent.end - extent.start))) === added,
    );
    return right?.bits ?? Number.POSITIVE_INFINITY;
  }

  usual(most: number): readonly Extent[] {
    return this.#extents.slice(0, most);
  }

  /** What has to be added at the end of the most usual range. */
  addedWith(init: number): number {
    const extent = this.#extents[0];
    return extent ? extent.added ^ this.field.multiply(init, this.#power(extent.end - extent.start)) : 0;
  }

  #power(length: number): number {
    let power = this.#powers.get(length);
    if (power === undefined) {
      power = this.field.power(8 * length);
      this.#powers.set(length, power);
    }
    return power;
  }
}

/** Behind the last difference before those that a guess covers. */
function lowestStart(differing: Int32Array, { first, stored, bytes }: Guess): number {
  let before = lowestFrom(differing, first) - 1;
  while (before >= 0 && (differing[before] as number) >= stored && (differing[before] as number) < stored + bytes) {
    before--;
  }
  return before < 0 ? 0 : (differing[before] as number) + 1;
}
