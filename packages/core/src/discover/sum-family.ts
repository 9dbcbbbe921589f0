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
    ...(kind.method === "add" && { sums: `${word}/${word > 1 ? kind.order : "big"}` }),
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
  readonly #arithmetic: Arithmetic;

  constructor(kind: SumKind, content: Uint8Array, offsets: Int32Array) {
    this.#arithmetic = arithmeticOf(kind);
    this.#sums = sumsAt(kind, content, offsets);
  }

  starts(): Int32Array {
    return this.#sums;
  }

  ends(): Int32Array {
    return this.#sums;
  }

  wantedStarts(raws: Int32Array, ends: Int32Array): Int32Array {
    return this.#arithmetic.differences(this.#sums, ends, raws);
  }

  wantedStart(end: number, raw: number): number {
    return this.#arithmetic.minus(this.#sums[end] as number, raw);
  }

  wantedEnds(raws: Int32Array, starts: Int32Array): Int32Array {
    return this.#arithmetic.sums(this.#sums, starts, raws);
  }

  value(start: number, end: number): number {
    return this.#arithmetic.minus(this.#sums[end] as number, this.#sums[start] as number);
  }

  valuesTo(end: number, _starts: Int32Array, startKeys: Int32Array, count: number, values: Int32Array): void {
    this.#arithmetic.differencesTo(this.#sums[end] as number, startKeys, count, values);
  }

  zeroed(startKey: number, from: number, to: number): number {
    return this.#arithmetic.plus(startKey, this.value(from, to));
  }

  leftOut(startKey: number, from: number, to: number): number {
    return this.zeroed(startKey, from, to);
  }

  unmoved(moved: number, from: number, to: number): number {
    return this.#arithmetic.minus(moved, this.value(from, to));
  }
}

/** How words are put together and taken apart again, one by one and many at once. */
interface Arithmetic {
  plus(a: number, b: number): number;
  minus(a: number, b: number): number;
  /** Those of `a` at `indices` with `b`. */
  sums(a: Int32Array, indices: Int32Array, b: Int32Array): Int32Array;
  differences(a: Int32Array, indices: Int32Array, b: Int32Array): Int32Array;
  differencesTo(a: number, b: Int32Array, count: number, into: Int32Array): void;
}

const arithmetics = new Map<string, Arithmetic>();

function arithmeticOf({ method, width }: SumKind): Arithmetic {
  const name = `${method}/${width}`;
  const there = arithmetics.get(name);
  if (there) return there;
  const made = method === "xor" ? byXor : method === "add" ? modulo2(masked(-1, width)) : endAround(2 ** width - 1);
  arithmetics.set(name, made);
  return made;
}

const byXor: Arithmetic = {
  plus: (a, b) => a ^ b,
  minus: (a, b) => a ^ b,
  sums: xored,
  differences: xored,
  differencesTo(a, b, count, into) {
    for (let i = 0; i < count; i++) into[i] = a ^ (b[i] as number);
  },
};

function xored(a: Int32Array, indices: Int32Array, b: Int32Array): Int32Array {
  const into = new Int32Array(b.length);
  for (let i = 0; i < into.length; i++) into[i] = (a[indices[i] as number] as number) ^ (b[i] as number);
  return into;
}

function modulo2(mask: number): Arithmetic {
  return {
    plus: (a, b) => (a + b) & mask,
    minus: (a, b) => (a - b) & mask,
    sums(a, indices, b) {
      const into = new Int32Array(b.length);
      for (let i = 0; i < into.length; i++) into[i] = ((a[indices[i] as number] as number) + (b[i] as number)) & mask;
      return into;
    },
    differences(a, indices, b) {
      const into = new Int32Array(b.length);
      for (let i = 0; i < into.length; i++) into[i] = ((a[indices[i] as number] as number) - (b[i] as number)) & mask;
      return into;
    },
    differencesTo(a, b, count, into) {
      for (let i = 0; i < count; i++) into[i] = (a - (b[i] as number)) & mask;
    },
  };
}

function endAround(modulus: number): Arithmetic {
  const plus = (a: number, b: number) => {
    const sum = (a >>> 0) + (b >>> 0);
    return (sum >= modulus ? sum - modulus : sum) | 0;
  };
  const minus = (a: number, b: number) => {
    const difference = (a >>> 0) - (b >>> 0);
    return (difference < 0 ? difference + modulus : difference) | 0;
  };
  return {
    plus,
    minus,
    sums: (a, indices, b) => b.map((each, i) => plus(a[indices[i] as number] as number, each)),
    differences: (a, indices, b) => b.map((each, i) => minus(a[indices[i] as number] as number, each)),
    differencesTo(a, b, count, into) {
      for (let i = 0; i < count; i++) into[i] = minus(a, b[i] as number);
    },
  };
}

/** Doubles stay exact below this and one more word. */
const exact = 2 ** 51;

function sumsAt({ width, word, order, method }: SumKind, content: Uint8Array, offsets: Int32Array): Int32Array {
  const sums = new Int32Array(offsets.length);
  const modulus = method === "end-around" ? 2 ** width - 1 : 2 ** width;
  // Words of two and four bytes as a number without sign, whichever byte comes first.
  const [a, b, c, d] = order === "big" ? [24, 16, 8, 0] : [0, 8, 16, 24];
  let sum = 0;
  // The first offset may lie anywhere; from there on words are counted.
  let at = (offsets[0] ?? 0) % word;
  for (let i = 0; i < offsets.length; i++) {
    const offset = offsets[i] as number;
    for (; at < offset; at += word) {
      let value = content[at] as number;
      if (word === 2) {
        const next = content[at + 1] as number;
        value = order === "big" ? (value << 8) | next : (next << 8) | value;
      } else if (word === 4) {
        value =
          (value << (a as number)) |
          ((content[at + 1] as number) << (b as number)) |
          ((content[at + 2] as number) << (c as number)) |
          ((content[at + 3] as number) << (d as number));
      }
      if (method === "xor") sum ^= value;
      else {
        sum += value >>> 0;
        if (sum >= exact) sum %= modulus;
      }
    }
    if (method !== "xor" && sum >= modulus) sum %= modulus;
    sums[i] = sum | 0;
  }
  return sums;
}
