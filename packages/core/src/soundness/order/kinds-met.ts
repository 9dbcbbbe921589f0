import type { Census } from "../census.js";
import { gather, inFile, pairMaps } from "../corrections.js";
import { familiar } from "../familiar.js";
import type { Candidate } from "./candidate.js";
import { isTelling } from "./legibility.js";
import { windowLength, windows, windowsIn } from "./windows.js";

/** How many kinds of familiar pairs `candidate` makes: code and text are many, a habit of numbers is one or two. */
export function kindsMet(
  bytes: Uint8Array,
  blocks: Uint8Array,
  census: Census,
  { correction, legibility }: Candidate,
): number {
  const { families, isText, texts } = familiar();
  const family = families.find(({ name }) => name === legibility.family);
  const own = [new Set(family?.even), new Set(family?.odd)] as const;
  const counts = new Map<number, number>();
  const meet = (pair: number, times: number) => {
    if (times > 0 && isTelling(pair)) counts.set(pair, (counts.get(pair) ?? 0) + times);
  };
  const map = pairMaps().find((one) => one.correction === correction);
  if (map) {
    [census.even, census.odd].forEach((seen, side) => {
      for (const pair of new Set([...(own[side] as Set<number>), ...texts])) {
        meet(pair, seen[inFile(map, pair)] as number);
      }
    });
  } else {
    const window = new Uint8Array(windowLength);
    for (const at of windowsIn(blocks, bytes.length, correction, windows)) {
      gather(bytes, correction, at, window);
      for (let i = 0; i < windowLength; i++) {
        const pair = ((window[i] as number) << 8) | (window[i + 1] ?? 0);
        const isCode = i % 2 === 0 && own[(i / 2) % 2]?.has(pair);
        if (isText[pair] || isCode) meet(pair, 1);
      }
    }
  }
  const all = [...counts.values()];
  const total = all.reduce((sum, one) => sum + one, 0);
  return total === 0 ? 0 : total ** 2 / all.reduce((sum, one) => sum + one ** 2, 0);
}
