import { type Correction, gather } from "../corrections.js";
import { addHits, familiar } from "../familiar.js";
import { isTelling, type Legibility } from "./legibility.js";
import { windowLength } from "./windows.js";

/** How legible a sample is, and how many telling pairs it has. */
export interface Sampled {
  readonly pairs: number;
  readonly legibility: Legibility;
}

/** How legible windows of the original are when gathered from where they stand in the file. */
export function sampled(bytes: Uint8Array, places: readonly number[], correction: Correction | undefined): Sampled {
  const { families, isText, atEven, atOdd } = familiar();
  const hits = new Uint32Array(families.length);
  const window = new Uint8Array(windowLength);
  let pairs = 0;
  let text = 0;
  let across = 0;
  for (const at of places) {
    gather(bytes, correction, at, window);
    let last = 0;
    for (let i = 0; i < windowLength; i += 2) {
      const first = window[i] as number;
      const second = window[i + 1] as number;
      const pair = (first << 8) | second;
      if (isTelling(pair)) pairs++;
      if (isText[pair]) text++;
      if (i > 0 && isText[(last << 8) | first]) across++;
      addHits(hits, (i % 4 === 0 ? atEven : atOdd)[pair] as number, 1);
      last = second;
    }
  }
  let best = 0;
  for (let family = 1; family < hits.length; family++) {
    if ((hits[family] as number) > (hits[best] as number)) best = family;
  }
  const of = Math.max(1, pairs);
  const code = (hits[best] as number) / of;
  return { pairs, legibility: { code, family: families[best]?.name ?? "", text: text / of, across: across / of } };
}
