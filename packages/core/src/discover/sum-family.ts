import type { ByteOrder } from "../bytes/word.js";
import { type Family, type Keys, masked, type SimpleForm, type Variant } from "./family.js";

/** Words added up modulo some number, or modulo 2 bit by bit. */
export interface SumKind {
  readonly algorithm: string;
  readonly width: 8 | 16 | 32;
  /** Bytes of a word. */
  readonly word: 1 | 2 | 4;
  readonly order: ByteOrder;
  readonly method: "add" | "end-around" | "xor";
}

/** Half the bits of the spread of one random byte, and what makes a bell curve as good as an even one. */
const spreadOfByte = 74;

export function sumFamily(kind: SumKind, forms: Readonly<Partial<Record<SimpleForm, number>>>, bits: number): Family {
  const { algorithm, width, word } = kind;
  return {
    name: algorithm,
    kind: kind.method === "xor" ? "xor" : "add",
    width,
    step: word,
    bits,
    variants: Object.entries(forms).map(([form, share]) => variantOf(kind, form as SimpleForm, share)),
    joins: "both",
    decides: true,
    ...(8 * word === width && { order: kind.order }),
    linear: true,
    bitsOfValue: (length) => {
      if (8 * word >= width) return width;
      // The sum of n words lies within a few times spread * sqrt(n): no more values than that are likely.
      const spread = spreadOfByte * 256 ** (word - 1);
      return Math.min(width, Math.log2(2.5 * spread * Math.sqrt(Math.max(1, length / word))));
    },
    keysOf: (content, offsets) => new SumKeys(kind, content, offsets),
  };
}

function variantOf({ algorithm, width, method }: SumKind, form: SimpleForm, bits: number): Variant {
  const mask = masked(-1, width);
  const turn = {
    value: (value: number) => value,
    complement: (value: number) => ~value & mask,
    negated: (value: number) => -value & mask,
  }[form];
  if (method !== "end-around") return { algorithm, form, bits, init: 0, toRaw: turn, toStored: turn };
  // Modulo 2**width - 1 nothing and all ones are one; a sum of anything but zeros comes to all ones.
  const toRaw = (stored: number) => (turn(stored) === mask ? 0 : turn(stored));
  return { algorithm, form, bits, init: 0, toRaw, toStored: (raw: number) => turn(raw === 0 ? mask : raw) };
}

/** The sum of everything before each offset. */
class SumKeys implements Keys {
  readonly #sums: Int32Array;
  readonly #modulus: number;
  readonly #xor: boolean;

  constructor({ width, word, order, method }: SumKind, content: Uint8Array, offsets: Int32Array) {
    this.#xor = method === "xor";
    this.#modulus = method === "end-around" ? 2 ** width - 1 : 2 ** width;
    this.#sums = new Int32Array(offsets.length);
    const modulus = this.#modulus;
    const big = order === "big";
    let sum = 0;
    // The first offset may lie anywhere; from there on words are counted.
    let at = (offsets[0] ?? 0) % word;
    for (let i = 0; i < offsets.length; i++) {
      const offset = offsets[i] as number;
      for (; at < offset; at += word) {
        let value = 0;
        for (let k = 0; k < word; k++) value = value * 256 + (content[big ? at + k : at + word - 1 - k] as number);
        if (this.#xor) sum = (sum ^ value) >>> 0;
        else {
          sum += value;
          if (sum >= modulus) sum -= modulus * Math.floor(sum / modulus);
        }
      }
      this.#sums[i] = sum | 0;
    }
  }

  starts(): Int32Array {
    return this.#sums;
  }

  ends(): Int32Array {
    return this.#sums;
  }

  wantedStarts(raws: Int32Array): Int32Array {
    const wanted = new Int32Array(raws.length);
    for (let i = 0; i < raws.length; i++) wanted[i] = this.#minus(this.#sums[i] as number, raws[i] as number);
    return wanted;
  }

  wantedEnds(raws: Int32Array): Int32Array {
    const wanted = new Int32Array(raws.length);
    for (let i = 0; i < raws.length; i++) wanted[i] = this.#plus(this.#sums[i] as number, raws[i] as number);
    return wanted;
  }

  value(start: number, end: number): number {
    return this.#minus(this.#sums[end] as number, this.#sums[start] as number);
  }

  valuesTo(end: number, _starts: Int32Array, startKeys: Int32Array, count: number, values: Int32Array): void {
    const sum = this.#sums[end] as number;
    if (this.#xor) for (let i = 0; i < count; i++) values[i] = sum ^ (startKeys[i] as number);
    else for (let i = 0; i < count; i++) values[i] = this.#minus(sum, startKeys[i] as number);
  }

  zeroed(startKey: number, from: number, to: number): number {
    return this.#plus(startKey, this.#minus(this.#sums[to] as number, this.#sums[from] as number));
  }

  leftOut(startKey: number, from: number, to: number): number {
    return this.zeroed(startKey, from, to);
  }

  #minus(a: number, b: number): number {
    if (this.#xor) return a ^ b;
    const difference = (a >>> 0) - (b >>> 0);
    return (difference < 0 ? difference + this.#modulus : difference) | 0;
  }

  #plus(a: number, b: number): number {
    if (this.#xor) return a ^ b;
    const sum = (a >>> 0) + (b >>> 0);
    return (sum >= this.#modulus ? sum - this.#modulus : sum) | 0;
  }
}
