import { type ByteOrder, readUint } from "../bytes/word.js";
import { checkFill, type Running } from "./running.js";
import type { PairRow } from "./sum-catalogue.js";
import { wordPart } from "./words.js";

/** Fletcher's checksum and Adler-32 under way: a sum of words, and the sum of that sum after each word. */
export class PairRunning implements Running {
  #first: number;
  #second = 0;
  /** Bytes of a word that is not whole yet. */
  readonly #held: Uint8Array;
  #holding = 0;

  constructor(readonly row: PairRow) {
    this.#first = row.first;
    this.#held = new Uint8Array(row.word);
  }

  update(bytes: Uint8Array): void {
    const { word } = this.row;
    let at = 0;
    if (this.#holding > 0) {
      at = Math.min(bytes.length, word - this.#holding);
      this.#hold(bytes.subarray(0, at));
    }
    const end = bytes.length - ((bytes.length - at) % word);
    this.#add(bytes.subarray(at, end));
    this.#hold(bytes.subarray(end));
  }

  fill(byte: number, count: number): void {
    checkFill(byte, count);
    const { word, modulus } = this.row;
    const ahead = this.#holding > 0 ? Math.min(count, word - this.#holding) : 0;
    this.#hold(new Uint8Array(ahead).fill(byte));
    const whole = new Uint8Array(word).fill(byte);
    // n times a word w: the first sum grows by n * w, the second by n times the first and w * (1 + 2 + ... + n).
    const times = BigInt(Math.floor((count - ahead) / word));
    const value = BigInt(readUint(whole, "big"));
    const first = BigInt(this.#first);
    const second = BigInt(this.#second) + times * first + (value * times * (times + 1n)) / 2n;
    this.#first = Number((first + times * value) % BigInt(modulus));
    this.#second = Number(second % BigInt(modulus));
    this.#hold(whole.subarray(0, (count - ahead) % word));
  }

  value(): bigint {
    let sums: Pair = [this.#first, this.#second];
    if (this.#holding > 0) {
      sums = this.#after(
        sums,
        this.#held.map((byte, i) => (i < this.#holding ? byte : 0)),
      );
    }
    return (BigInt(sums[1]) << BigInt(this.row.width / 2)) | BigInt(sums[0]);
  }

  /** Keeps what is no whole word yet, and adds it as soon as it is one. */
  #hold(bytes: Uint8Array): void {
    this.#held.set(bytes, this.#holding);
    this.#holding += bytes.length;
    if (this.#holding < this.row.word) return;
    this.#holding = 0;
    this.#add(this.#held);
  }

  #add(words: Uint8Array): void {
    [this.#first, this.#second] = this.#after([this.#first, this.#second], words);
  }

  #after(sums: Pair, bytes: Uint8Array): Pair {
    const { word, order, modulus } = this.row;
    return word === 1 ? afterBytes(sums, bytes, modulus) : afterWords(sums, bytes, word, order ?? "big", modulus);
  }
}

/** First and second sum, both below the modulus. */
type Pair = readonly [number, number];

const evenBytes = 0x00ff00ff;
/** 64 bytes a block: the sums of 16 prefixes still fit in the 16 bits that a lane has. */
const blockWords = 16;

/**
 * The sums after `bytes`. Of each block the four lanes of its words are summed, and so are their prefixes (two lanes in
 * one word): together they say with which weight each byte enters the second sum.
 */
function afterBytes(sums: Pair, bytes: Uint8Array, modulus: number): Pair {
  const { start, end, words } = wordPart(bytes, blockWords);
  let [first, second] = afterSingleBytes(sums, bytes, 0, start, modulus);
  for (let i = 0; i < words.length; ) {
    const stop = Math.min(words.length, i + 256 * blockWords); // until then both stay far below 2**53
    while (i < stop) {
      const blockEnd = i + blockWords;
      let even = 0;
      let odd = 0;
      let evenPrefixes = 0;
      let oddPrefixes = 0;
      for (; i < blockEnd; i++) {
        const word = words[i] as number;
        even = (even + (word & evenBytes)) | 0;
        odd = (odd + ((word >>> 8) & evenBytes)) | 0;
        evenPrefixes = (evenPrefixes + even) | 0;
        oddPrefixes = (oddPrefixes + odd) | 0;
      }
      const prefixes = (evenPrefixes & 0xffff) + (evenPrefixes >>> 16) + (oddPrefixes & 0xffff) + (oddPrefixes >>> 16);
      const excess = (odd & 0xffff) + 2 * (even >>> 16) + 3 * (odd >>> 16);
      second += 4 * blockWords * first + 4 * prefixes - excess;
      first += (even & 0xffff) + (even >>> 16) + (odd & 0xffff) + (odd >>> 16);
    }
    first %= modulus;
    second %= modulus;
  }
  return afterSingleBytes([first, second], bytes, end, bytes.length, modulus);
}

function afterSingleBytes(sums: Pair, bytes: Uint8Array, from: number, to: number, modulus: number): Pair {
  let [first, second] = sums;
  for (let i = from; i < to; ) {
    const stop = Math.min(to, i + 4096);
    for (; i < stop; i++) {
      first += bytes[i] as number;
      second += first;
    }
    first %= modulus;
    second %= modulus;
  }
  return [first, second];
}

/** The sums after whole words of 2 or 4 bytes. */
function afterWords(sums: Pair, bytes: Uint8Array, word: number, order: ByteOrder, modulus: number): Pair {
  let [first, second] = sums;
  const [a, b, c, d] = (order === "big" ? [8 * word - 8, 8 * word - 16, 8, 0] : [0, 8, 16, 24]) as [
    number,
    number,
    number,
    number,
  ];
  for (let i = 0; i < bytes.length; ) {
    const stop = Math.min(bytes.length, i + 1024 * word); // 1024 words of 32 bits: the second stays below 2**53
    for (; i < stop; i += word) {
      let value = ((bytes[i] as number) << a) | ((bytes[i + 1] as number) << b);
      if (word === 4) value |= ((bytes[i + 2] as number) << c) | ((bytes[i + 3] as number) << d);
      first += value >>> 0;
      second += first;
    }
    first %= modulus;
    second %= modulus;
  }
  return [first, second];
}
