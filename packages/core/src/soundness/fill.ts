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
/** Of a large body only runs of this length are listed, so that a list of them stays small beside it. */
const shortestListed = 128;
const large = 2 ** 20;

/** The fill of a body: its runs of at least 16 equal bytes (128 beyond 1 MiB), and which blocks are not mostly fill. */
export interface Fill {
  readonly runs: readonly FillRun[];
  /** By block of 64 bytes: 1 for content. */
  readonly blocks: Uint8Array;
  /** How many of these there are. */
  readonly content: number;
}

/** The runs of equal bytes in order, and the blocks that shorter and longer ones leave to content; in one pass. */
export function fillOf(bytes: Uint8Array): Fill {
  const words = wordsOf(bytes);
  const runs: FillRun[] = [];
  const filled = new Uint8Array(Math.ceil(bytes.length / contentBlock));
  const least = bytes.length > large ? shortestListed : shortest;
  const last = words.length - 1;
  for (let i = 0; i < last; ) {
    const word = words[i] as number;
    if (words[i + 1] !== word || word !== Math.imul(word & 0xff, 0x01010101)) {
      i += 2; // sixteen bytes hold three whole words, and these two of a pair
      continue;
    }
    let next = i + 2;
    while (next < words.length && words[next] === word) next++;
    const value = word & 0xff;
    let start = 4 * i;
    let end = 4 * next;
    while (start > 0 && bytes[start - 1] === value) start--;
    while (end < bytes.length && bytes[end] === value) end++;
    if (end - start >= shortest) addTo(filled, start, end);
    if (end - start >= least) runs.push({ start, end, value });
    i = next + (next & 1);
  }
  let content = 0;
  for (let i = 0; i < filled.length; i++) {
    const held = (filled[i] as number) > contentBlock / 2 ? 0 : 1;
    filled[i] = held;
    content += held;
  }
  return { runs, blocks: filled, content };
}

function addTo(filled: Uint8Array, start: number, end: number): void {
  const first = Math.floor(start / contentBlock);
  const last = Math.floor((end - 1) / contentBlock);
  if (first === last) filled[first] = (filled[first] as number) + (end - start);
  else {
    filled[first] = (filled[first] as number) + ((first + 1) * contentBlock - start);
    filled.fill(contentBlock, first + 1, last);
    filled[last] = (filled[last] as number) + (end - last * contentBlock);
  }
}

const golden = (Math.sqrt(5) - 1) / 2;

/** Offsets inside content, spread evenly over all of it: at most `count`, always the same ones for the same bytes. */
export function contentSample(blocks: Uint8Array, length: number, count: number): Uint32Array {
  let held = 0;
  for (let block = 0; block < blocks.length; block++) held += blocks[block] as number;
  const available = held * contentBlock;
  const wanted = Math.min(count, available);
  const sample = new Uint32Array(wanted);
  let taken = 0;
  let block = -1;
  let rank = -1;
  for (let i = 0; i < wanted; i++) {
    // Uneven steps (by the golden section) meet every residue of every power of two: no line of the address is favoured.
    const uneven = wanted < available ? (i * golden) % 1 : 0;
    const place = Math.floor(((i + uneven) * available) / wanted);
    const wantedRank = Math.floor(place / contentBlock);
    while (rank < wantedRank) if (blocks[++block]) rank++;
    const offset = block * contentBlock + (place % contentBlock);
    if (offset < length) sample[taken++] = offset;
  }
  return sample.subarray(0, taken);
}
