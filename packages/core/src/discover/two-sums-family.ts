import type { ByteOrder } from "../bytes/word.js";
import type { Family, Keys } from "./family.js";

/** Two running sums, the second of the first: Fletcher and Adler. */
export interface TwoSumsKind {
  readonly algorithm: string;
  readonly width: 16 | 32;
  readonly word: 1 | 2;
  readonly order: ByteOrder;
  readonly modulus: number;
  /** Where the first sum starts. */
  readonly first: 0 | 1;
}

export function twoSumsFamily(kind: TwoSumsKind, bits: number): Family {
  const { algorithm, width, word } = kind;
  const same = (value: number) => value;
  return {
    name: algorithm,
    kind: "add",
    width,
    step: word,
    bits,
    variants: [{ algorithm, form: "value", bits: 0, init: 0, toRaw: same, toStored: same }],
    joins: "after",
    decides: false,
    linear: false,
    // The first sum of few bytes does not reach its modulus.
    bitsOfValue: (length) =>
      width / 2 + Math.min(width / 2, Math.log2(2.5 * 74 * 256 ** (word - 1) * Math.sqrt(Math.max(1, length / word)))),
    keysOf: (content, offsets) => new TwoSumsKeys(kind, content, offsets),
  };
}

/**
 * With S and T the two sums of everything before an offset, the first of a..b is S[b] - S[a], the second
 * T[b] - T[a] - n * S[a] over n words. Only the first can be looked up; the second decides then.
 */
class TwoSumsKeys implements Keys {
  readonly #firsts: Int32Array;
  readonly #seconds: Int32Array;
  /** How many words lie before each offset, and what is left of the second sum without as many times the first. */
  readonly #wordsBefore: Int32Array;
  readonly #rests: Int32Array;

  constructor(
    readonly kind: TwoSumsKind,
    content: Uint8Array,
    readonly offsets: Int32Array,
  ) {
    const { word, order, modulus } = kind;
    this.#firsts = new Int32Array(offsets.length);
    this.#seconds = new Int32Array(offsets.length);
    this.#wordsBefore = new Int32Array(offsets.length);
    this.#rests = new Int32Array(offsets.length);
    const big = order === "big";
    let first = 0;
    let second = 0;
    let at = (offsets[0] ?? 0) % word;
    for (let i = 0; i < offsets.length; i++) {
      for (const offset = offsets[i] as number; at < offset; at += word) {
        let value = content[big || word === 1 ? at : at + 1] as number;
        if (word === 2) value = value * 256 + (content[big ? at + 1 : at] as number);
        first += value;
        if (first >= modulus) first -= modulus;
        second += first;
        if (second >= modulus) second -= modulus;
      }
      this.#firsts[i] = first;
      this.#seconds[i] = second;
      const words = Math.floor((offsets[i] as number) / word) % modulus;
      this.#wordsBefore[i] = words;
      this.#rests[i] = (((second - words * first) % modulus) + modulus) % modulus;
    }
  }

  starts(): Int32Array {
    return this.#firsts;
  }

  wantedStarts(raws: Int32Array, ends: Int32Array): Int32Array {
    const { modulus, width, first } = this.kind;
    const low = 2 ** (width / 2) - 1;
    const wanted = new Int32Array(raws.length);
    for (let i = 0; i < raws.length; i++) {
      const difference = (this.#firsts[ends[i] as number] as number) + first - ((raws[i] as number) & low);
      wanted[i] = ((difference % modulus) + modulus) % modulus;
    }
    return wanted;
  }

  wantedStart(end: number, raw: number): number {
    const { modulus, width, first } = this.kind;
    const difference = (this.#firsts[end] as number) + first - (raw & (2 ** (width / 2) - 1));
    return ((difference % modulus) + modulus) % modulus;
  }

  value(start: number, end: number): number {
    const { modulus, width, word, first } = this.kind;
    const words = ((this.offsets[end] as number) - (this.offsets[start] as number)) / word;
    const before = this.#firsts[start] as number;
    const one = (this.#firsts[end] as number) - before + first + modulus;
    const other = (this.#seconds[end] as number) - (this.#seconds[start] as number) + words * (first - before);
    return ((((other % modulus) + modulus) % modulus) << (width / 2)) | (one % modulus);
  }

  /** With p the words before an offset and A = T - p * S at the start, the second sum is T[b] - p[b] * S[a] - A[a]. */
  valuesTo(end: number, starts: Int32Array, _startKeys: Int32Array, count: number, values: Int32Array): void {
    const { modulus, width, first } = this.kind;
    const half = width / 2;
    const before = this.#wordsBefore;
    const rests = this.#rests;
    const words = before[end] as number;
    const inverse = 1 / modulus;
    const firstAtEnd = (this.#firsts[end] as number) + first;
    const secondAtEnd = (this.#seconds[end] as number) + first * words;
    for (let i = 0; i < count; i++) {
      const start = starts[i] as number;
      const sum = this.#firsts[start] as number;
      // Both factors are below 2**16: the product is exact in 32 bits without sign.
      const product = Math.imul(words, sum) >>> 0;
      const rest = product - modulus * Math.floor(product * inverse);
      let other = secondAtEnd - first * (before[start] as number) - rest - (rests[start] as number);
      while (other < 0) other += modulus;
      while (other >= modulus) other -= modulus;
      let one = firstAtEnd - sum;
      if (one < 0) one += modulus;
      if (one >= modulus) one -= modulus;
      values[i] = (other << half) | one;
    }
  }

  unmoved(moved: number, from: number, to: number): number {
    const { modulus } = this.kind;
    const hole = (this.#firsts[to] as number) - (this.#firsts[from] as number);
    return (((moved - hole) % modulus) + modulus) % modulus;
  }

  /** Each word counts in the second sum as often as there are words from it to the end. */
  emptied(value: number, from: number, to: number, end: number): number {
    const { modulus, width, word } = this.kind;
    const half = width / 2;
    const words = (a: number, b: number) => ((this.offsets[b] as number) - (this.offsets[a] as number)) / word;
    const before = this.#firsts[from] as number;
    const first = (this.#firsts[to] as number) - before + modulus;
    const second = (this.#seconds[to] as number) - (this.#seconds[from] as number) - words(from, to) * before;
    const one = (value & (2 ** half - 1)) - first;
    const other = (value >>> half) - second - (first % modulus) * words(to, end);
    return ((((other % modulus) + modulus) % modulus) << half) | (((one % modulus) + modulus) % modulus);
  }
}
