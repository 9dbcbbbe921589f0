/**
 * A digest's first 100 bits as text to be read out on the phone, written on a label and typed in again:
 * `XSRB-VT82-E7VF-AR6Y-PY7Z-W`. Twenty characters in groups of four, each group five hex digits, and a check
 * character over all of them.
 */

/** The characters by value: digits and capitals without I, L, O and U, which are read as others or make words. */
const alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/** What is taken for another character when it is typed in. */
const lookalikes: Readonly<Record<string, string>> = { O: "0", I: "1", L: "1" };

/** Tab, line ends, blanks and no-break blanks; hyphens, and the dashes and the minus that programs make of them. */
const passedOver = "\t\n\r \u00a0\u202f-\u2010\u2011\u2012\u2013\u2014\u2015\u2212";

const groups = 5;
const groupLength = 4;
const bodyLength = groups * groupLength;

/** Hex digits of the digest that a readable form holds. */
const digitCount = groups * 5;

/** A digest of which this is the beginning, or what is wrong with the text. Positions are in the text, from 0. */
export type ReadableReading =
  | {
      readonly kind: "readable";
      /** As `readableOf` writes it. */
      readonly text: string;
      /** The 25 hex digits, lower case, that the digest begins with. */
      readonly digits: string;
    }
  | { readonly kind: "damaged"; readonly damage: "length"; readonly expected: number; readonly found: number }
  | { readonly kind: "damaged"; readonly damage: "character"; readonly character: string; readonly offset: number }
  /** The right character is not told: who is told it types it, and a wrong text passes. */
  | { readonly kind: "damaged"; readonly damage: "check"; readonly found: string };

/**
 * The readable form of a digest in hex.
 * @throws RangeError when it has fewer than 25 digits or something else among them
 */
export function readableOf(digest: string): string {
  const digits = digest.slice(0, digitCount);
  if (!/^[0-9a-fA-F]{25}$/.test(digits)) {
    throw new RangeError(`digest: expected at least ${digitCount} hex digits, got ${JSON.stringify(digits)}`);
  }
  const values: number[] = [];
  for (let group = 0; group < groups; group++) {
    const bits = Number.parseInt(digits.slice(5 * group, 5 * group + 5), 16);
    for (let shift = 15; shift >= 0; shift -= 5) values.push((bits >> shift) & 31);
  }
  return written([...values, checkValue(values)]);
}

/**
 * What `text` says: in either case, with hyphens, dashes and blanks anywhere or nowhere, O taken for 0 and I and L
 * for 1. A single wrong character, or two neighbours exchanged, is always told by the check character.
 */
export function parseReadable(text: string): ReadableReading {
  const values: number[] = [];
  let offset = 0;
  for (const character of text) {
    if (!passedOver.includes(character)) {
      const capital = /^[a-z]$/.test(character) ? character.toUpperCase() : character;
      const value = alphabet.indexOf(lookalikes[capital] ?? capital);
      if (value < 0) return { kind: "damaged", damage: "character", character, offset };
      values.push(value);
    }
    offset += character.length;
  }
  if (values.length !== bodyLength + 1) {
    return { kind: "damaged", damage: "length", expected: bodyLength + 1, found: values.length };
  }
  const check = values.at(-1) as number;
  const body = values.slice(0, bodyLength);
  if (checkValue(body) !== check) return { kind: "damaged", damage: "check", found: alphabet[check] as string };
  return { kind: "readable", text: written(values), digits: digitsOf(body) };
}

/**
 * The check value by Damm's scheme: a state is combined with each value by an operation that no wrong value and no
 * exchange of two neighbours leaves unnoticed, and the last state is the check value. The operation is x*y = 2(x + y)
 * in the field of 32 elements, polynomial x^5 + x^2 + 1; x*x = 0, so the state over the whole text ends at 0.
 * Source: H. M. Damm, Totally anti-symmetrische Quasigruppen, Marburg 2004; from memory, and the tests go through
 * every state and pair of values.
 */
function checkValue(values: readonly number[]): number {
  let state = 0;
  for (const value of values) {
    const sum = state ^ value;
    state = sum < 16 ? sum << 1 : (sum << 1) ^ 0b100101;
  }
  return state;
}

function written(values: readonly number[]): string {
  let text = "";
  values.forEach((value, i) => {
    text += (i > 0 && i % groupLength === 0 ? "-" : "") + alphabet[value];
  });
  return text;
}

function digitsOf(body: readonly number[]): string {
  let digits = "";
  for (let i = 0; i < body.length; i += groupLength) {
    const bits = body.slice(i, i + groupLength).reduce((sum, value) => sum * 32 + value, 0);
    digits += bits.toString(16).padStart(5, "0");
  }
  return digits;
}
