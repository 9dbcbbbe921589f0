import type { ByteOrder } from "../bytes/word.js";
import { reversedBits } from "./field.js";
import { valueAt } from "./site.js";
import type { Guess } from "./unknown-places.js";

/** What a guess comes to when it is right: a polynomial, and how values are stored. */
export interface Recovered {
  readonly guess: Guess;
  readonly order: ByteOrder;
  readonly reflected: boolean;
  /** Without its highest term, in the low `width` bits of an Int32. */
  readonly poly: number;
}

/** What each content but the first differs in from the first, from the first to the last difference of a guess. */
export function differencesOf(
  contents: readonly Uint8Array[],
  { stored, bytes, first, last }: Guess,
): readonly Uint8Array[] {
  const [base, ...others] = contents as readonly [Uint8Array, ...Uint8Array[]];
  return others.map((content) => {
    const difference = new Uint8Array(last - first + 1);
    for (let i = 0; i < difference.length; i++) {
      const at = first + i;
      if (at < stored || at >= stored + bytes) difference[i] = (base[at] as number) ^ (content[at] as number);
    }
    return difference;
  });
}

/** The same of the values, as a register holds them that shifts left. */
export function valuesOf(
  contents: readonly Uint8Array[],
  stored: number,
  bytes: number,
  order: ByteOrder,
  reflected: boolean,
): readonly number[] {
  const [base, ...others] = contents.map((content) => {
    const value = valueAt(content, stored, bytes, order);
    return reflected ? reversedBits(value, 8 * bytes) : value;
  }) as [number, ...number[]];
  return others.map((value) => base ^ value);
}
