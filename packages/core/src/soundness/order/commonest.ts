import type { Census } from "../census.js";
import { inFile, type PairMap } from "../corrections.js";
import { addHits, familiar } from "../familiar.js";
import { isTelling } from "./legibility.js";

/** So many of the pairs are looked at first: what they rule out needs no count of all. */
const commonestLooked = 384;

/** The telling pairs that are commonest in the census. */
export function commonestPairs({ even, odd }: Census): Uint16Array {
  const held: number[] = [];
  let least = 1;
  for (let pair = 256; pair < 65536; pair++) {
    const count = (even[pair] as number) + (odd[pair] as number);
    if (count < least || !isTelling(pair)) continue;
    // The count goes in front of the pair, so that sorting numbers sorts by it.
    held.push(count * 65536 + pair);
    if (held.length < 8 * commonestLooked) continue;
    held.sort((a, b) => b - a).length = commonestLooked;
    least = Math.floor((held.at(-1) as number) / 65536);
  }
  return Uint16Array.from(held.sort((a, b) => b - a).slice(0, commonestLooked), (one) => one % 65536);
}

/** How legible these pairs of the file are once they are put back by `map`, each map being its own inverse. */
export function commonestScore(pairs: Uint16Array, { even, odd }: Census, map: PairMap | undefined): number {
  const { families, isText, atEven: familiesAtEven, atOdd: familiesAtOdd } = familiar();
  const hits = new Uint32Array(families.length);
  let text = 0;
  for (let i = 0; i < pairs.length; i++) {
    const pair = pairs[i] as number;
    const original = map ? inFile(map, pair) : pair;
    const atEven = even[pair] as number;
    const atOdd = odd[pair] as number;
    if (isText[original]) text += atEven + atOdd;
    addHits(hits, familiesAtEven[original] as number, atEven);
    addHits(hits, familiesAtOdd[original] as number, atOdd);
  }
  let code = 0;
  for (const count of hits) code = Math.max(code, count);
  return code + 2 * text;
}
