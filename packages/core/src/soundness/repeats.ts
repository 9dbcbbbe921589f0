import { wordsOf } from "./body.js";

/** A block whose content stands again right behind it, while what lies around does not repeat. */
export interface RepeatedBlock {
  /** Offset of the first copy in the body. */
  readonly start: number;
  readonly length: number;
  /** Bytes that are equal, counted past the ends of the block: far more than `length` is a habit of the content. */
  readonly run: number;
}

/** Sizes of block that readers move. */
export const blockSizes: readonly number[] = [128, 256, 512, 1024, 2048, 4096, 8192, 16384];
/** Runs may exceed the block by chance: by so many bytes on each side. */
const chance = 24;
/** Content that repeats in steps shorter than a quarter of the block is a pattern or a table and proves nothing. */
const denseDistinct = 24;
const listed = 64;
/** Blocks of each size that are looked at closely: more of them are a habit of the content. */
const looks = 512;

/** The blocks that were put down twice in a row, smallest size first; a larger one takes in the smaller. */
export function repeatedBlocksOf(bytes: Uint8Array): RepeatedBlock[] {
  const words = wordsOf(bytes);
  const found: RepeatedBlock[] = [];
  for (const size of blockSizes) {
    const step = size / 4;
    let looked = 0;
    for (let at = 0; at + 2 * step <= words.length && looked < looks; at += step) {
      if (words[at] !== words[at + step] || words[at + step - 1] !== words[at + 2 * step - 1]) continue;
      if (!sameWords(words, at, at + step, step)) continue;
      const start = 4 * at;
      if (bytes[start] === bytes[start + 1] && isFill(words, at, step)) continue;
      looked++;
      const run = size + reach(bytes, start, size, -1) + reach(bytes, start + size - 1, size, 1);
      if (run > size + 2 * chance || isPattern(bytes.subarray(start, start + size))) continue;
      found.push({ start, length: size, run });
      if (found.length === listed) return found;
    }
  }
  return found;
}

function sameWords(words: Int32Array, a: number, b: number, count: number): boolean {
  for (let i = 0; i < count; i++) if (words[a + i] !== words[b + i]) return false;
  return true;
}

/** Whether the words from `at` on are all one: fill repeats everywhere and is not worth a look. */
function isFill(words: Int32Array, at: number, count: number): boolean {
  for (let i = 1; i < count; i++) if (words[at] !== words[at + i]) return false;
  return true;
}

/** How far bytes go on being equal to those `lag` further on. */
function reach(bytes: Uint8Array, from: number, lag: number, step: 1 | -1): number {
  let count = 0;
  for (let i = from + step; i >= 0 && i + lag < bytes.length && count <= 4 * chance; i += step) {
    if (bytes[i] !== bytes[i + lag]) break;
    count++;
  }
  return count;
}

/** Offsets of a block that are held against those a period on. */
const compared = 128;

function isPattern(block: Uint8Array): boolean {
  if (new Set(block).size < denseDistinct) return true;
  for (let period = 1; period <= block.length / 4; period++) {
    const step = Math.max(1, Math.floor((block.length - period) / compared));
    let looked = 0;
    let other = 0;
    // A step that shares no factor with a period of a power of two meets all places of the pattern.
    for (let i = 0; i + period < block.length; i += step | 1) {
      looked++;
      if (block[i] !== block[i + period]) other++;
      if (other > 0.3 * compared) break;
    }
    if (other < 0.3 * looked) return true;
  }
  return false;
}
