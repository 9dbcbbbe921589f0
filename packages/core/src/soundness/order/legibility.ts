import type { Census } from "../census.js";
import { inFile, type PairMap } from "../corrections.js";
import { familiar } from "../familiar.js";

/** How legible the content is in one order: shares of its telling pairs that are known code, and known text. */
export interface Legibility {
  readonly code: number;
  /** The family of processors whose code it looks like most. */
  readonly family: string;
  readonly text: number;
  /** The share of text across pairs: second byte of one, first of the next. */
  readonly across: number;
}

/** One number to rank orders by. Text counts for more, being the same for every processor; across pairs most: code is not seen there. */
export function scoreOf({ code, text: share, across }: Legibility): number {
  return code + 2 * share + 4 * across;
}

/** How legible the census is, of `pairs` that tell; with a map once they are put back by it. */
export function legibilityOf({ even, odd }: Census, pairs: number, map?: PairMap): Legibility {
  const { families, texts } = familiar();
  let code = 0;
  let family = "";
  for (const candidate of families) {
    const hits = hitsOf(even, candidate.even, map) + hitsOf(odd, candidate.odd, map);
    if (hits > code) [code, family] = [hits, candidate.name];
  }
  const of = Math.max(1, pairs);
  return { code: code / of, family, text: (hitsOf(even, texts, map) + hitsOf(odd, texts, map)) / of, across: 0 };
}

function hitsOf(counts: Uint32Array, pairs: Uint16Array, map: PairMap | undefined): number {
  let hits = 0;
  for (let i = 0; i < pairs.length; i++) {
    const pair = map ? inFile(map, pairs[i] as number) : (pairs[i] as number);
    if (isTelling(pair)) hits += counts[pair] as number;
  }
  return hits;
}

/** Whether a pair reads otherwise in another order: no filler byte (00, FF), no two equal ones. */
export function isTelling(pair: number): boolean {
  const first = pair >> 8;
  const second = pair & 0xff;
  return first !== second && first !== 0 && first !== 0xff && second !== 0 && second !== 0xff;
}

/** How many pairs tell anything. Those with a filler byte (00, FF) or of two equal bytes read the same in any order and are not counted. */
export function tellingPairs({ even, odd, words }: Census): number {
  const of = (pair: number) => (even[pair] as number) + (odd[pair] as number);
  let rest = 0;
  for (let byte = 0; byte < 256; byte++) {
    rest += of(byte) + of(0xff00 + byte);
    if (byte > 0 && byte < 255) rest += of(byte * 256) + of(byte * 256 + 0xff) + of(byte * 257);
  }
  return 2 * words - rest;
}
