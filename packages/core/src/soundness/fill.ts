import { wordsOf } from "./body.js";

/** A run of one byte value, as offsets into the body. */
export interface FillRun {
  readonly start: number;
  readonly end: number;
  readonly value: number;
}

/** Blocks that content is told from fill in. */
export const contentBlock = 64;

/** Shorter runs of one value occur in code and tables everywhere and are no fill. */
const shortest = 16;

/** The runs of at least 16 equal bytes, in order. */
export function fillRunsOf(bytes: Uint8Array): FillRun[] {
  const words = wordsOf(bytes);
  const runs: FillRun[] = [];
  for (let i = 0; i + 1 < words.length; ) {
    const word = words[i] as number;
    if (words[i + 1] !== word || word !== Math.imul(word & 0xff, 0x01010101)) {
      i++;
      continue;
    }
    let next = i + 2;
    while (next < words.length && words[next] === word) next++;
    const value = word & 0xff;
    let start = 4 * i;
    let end = 4 * next;
    while (start > 0 && bytes[start - 1] === value) start--;
    while (end < bytes.length && bytes[end] === value) end++;
    if (end - start >= shortest) runs.push({ start, end, value });
    i = next;
  }
  return runs;
}

/** Which blocks of 64 bytes hold content: those that fill does not take up for the most part. */
export function contentBlocksOf(bytes: Uint8Array, runs: readonly FillRun[]): Uint8Array {
  const filled = new Uint8Array(Math.ceil(bytes.length / contentBlock));
  for (const { start, end } of runs) {
    const first = Math.floor(start / contentBlock);
    const last = Math.floor((end - 1) / contentBlock);
    if (first === last) filled[first] = (filled[first] as number) + (end - start);
    else {
      filled[first] = (filled[first] as number) + ((first + 1) * contentBlock - start);
      filled.fill(contentBlock, first + 1, last);
      filled[last] = (filled[last] as number) + (end - last * contentBlock);
    }
  }
  return filled.map((count) => (count > contentBlock / 2 ? 0 : 1));
}

/** Offsets inside content, spread evenly over all of it: at most `count`, always the same ones for the same bytes. */
export function contentSample(blocks: Uint8Array, length: number, count: number): Uint32Array {
  const held: number[] = [];
  for (let block = 0; block < blocks.length; block++) if (blocks[block]) held.push(block);
  const available = held.length * contentBlock;
  const wanted = Math.min(count, available);
  const sample = new Uint32Array(wanted);
  let taken = 0;
  for (let i = 0; i < wanted; i++) {
    // Steps of a fraction meet every residue of every power of two, so no line of the address is favoured.
    const place = Math.floor((i * available) / wanted);
    const offset = (held[Math.floor(place / contentBlock)] as number) * contentBlock + (place % contentBlock);
    if (offset < length) sample[taken++] = offset;
  }
  return sample.subarray(0, taken);
}
