/**
 * What sums and XORs of words come from: the byte at place i of the message belongs to lane i mod 8, and a word of up to
 * eight bytes, in either byte order, is made of whole lanes. So one loop over bytes serves words of every size, and where
 * a piece was cut does not matter.
 */
import { wordPart } from "./words.js";

/** How many lanes there are: the bytes of the largest word. */
export const LANES = 8;

const evenBytes = 0x00ff00ff;
// Two 16-bit counters share a word: 257 bytes of FF would still fit in each.
const wordsBeforeOverflow = 512;

/** The sum of the bytes in each lane; the first byte of `bytes` is in lane 0. */
export function laneSums(bytes: Uint8Array): Float64Array {
  const sums = new Float64Array(LANES);
  const { start, end, words } = wordPart(bytes, 4);
  addBytes(sums, bytes, 0, start);
  addWords(sums, words, start);
  addBytes(sums, bytes, end, bytes.length);
  return sums;
}

function addBytes(sums: Float64Array, bytes: Uint8Array, from: number, to: number): void {
  for (let i = from; i < to; i++) sums[i % LANES] = (sums[i % LANES] as number) + (bytes[i] as number);
}

function addWords(sums: Float64Array, words: Int32Array, shift: number): void {
  const add = (lane: number, counters: number) => {
    const low = (lane + shift) % LANES;
    const high = (lane + 2 + shift) % LANES;
    sums[low] = (sums[low] as number) + (counters & 0xffff);
    sums[high] = (sums[high] as number) + (counters >>> 16);
  };
  for (let i = 0; i < words.length; ) {
    const stop = Math.min(words.length, i + wordsBeforeOverflow);
    let a = 0; // lanes 0 and 2, then 1 and 3, 4 and 6, 5 and 7
    let b = 0;
    let c = 0;
    let d = 0;
    for (; i < stop; i += 4) {
      const w = words[i] as number;
      const x = words[i + 1] as number;
      const y = words[i + 2] as number;
      const z = words[i + 3] as number;
      a = (a + (w & evenBytes) + (y & evenBytes)) | 0;
      b = (b + ((w >>> 8) & evenBytes) + ((y >>> 8) & evenBytes)) | 0;
      c = (c + (x & evenBytes) + (z & evenBytes)) | 0;
      d = (d + ((x >>> 8) & evenBytes) + ((z >>> 8) & evenBytes)) | 0;
    }
    add(0, a);
    add(1, b);
    add(4, c);
    add(5, d);
  }
}

/** The XOR of the bytes in each lane; the first byte of `bytes` is in lane 0. */
export function laneXors(bytes: Uint8Array): Uint8Array {
  const xors = new Uint8Array(LANES);
  const { start, end, words } = wordPart(bytes, 4);
  xorBytes(xors, bytes, 0, start);
  let even = 0;
  let odd = 0;
  for (let i = 0; i < words.length; i += 4) {
    even ^= (words[i] as number) ^ (words[i + 2] as number);
    odd ^= (words[i + 1] as number) ^ (words[i + 3] as number);
  }
  for (let i = 0; i < 4; i++) {
    const low = (start + i) % LANES;
    const high = (start + 4 + i) % LANES;
    xors[low] = (xors[low] as number) ^ (even >>> (8 * i));
    xors[high] = (xors[high] as number) ^ (odd >>> (8 * i));
  }
  xorBytes(xors, bytes, end, bytes.length);
  return xors;
}

function xorBytes(xors: Uint8Array, bytes: Uint8Array, from: number, to: number): void {
  for (let i = from; i < to; i++) xors[i % LANES] = (xors[i % LANES] as number) ^ (bytes[i] as number);
}

/** How many of `count` bytes from the one that is in lane `first` on are in `lane`. */
export function countInLane(lane: number, first: number, count: number): number {
  const before = (lane - first + LANES) % LANES;
  return Math.max(0, Math.ceil((count - before) / LANES));
}
