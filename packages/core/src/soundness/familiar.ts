import { idioms, letterPairs } from "./idioms.js";

/** The commonest pairs of bytes of a family of processors. */
export interface Family {
  readonly name: string;
  readonly even: Uint16Array;
  readonly odd: Uint16Array;
}

export const families: readonly Family[] = idioms.map(({ family, even, odd }) => ({
  name: family,
  even: pairsIn(even),
  odd: pairsIn(odd),
}));

/** The commonest pairs of letters in lower case, and those of them that stand at the end of a word. */
export const texts: Uint16Array = textPairs();

/** By pair: 1 for those. */
export const isText: Uint8Array = new Uint8Array(65536);
for (const pair of texts) isText[pair] = 1;

/** By pair: one bit for each family that has it among its commonest, at even and at odd pairs. */
export const familiesAtEven: Uint32Array = masksOf((family) => family.even);
export const familiesAtOdd: Uint32Array = masksOf((family) => family.odd);

function masksOf(pairs: (family: Family) => Uint16Array): Uint32Array {
  const masks = new Uint32Array(65536);
  families.forEach((family, i) => {
    for (const pair of pairs(family)) masks[pair] = (masks[pair] as number) + 2 ** i;
  });
  return masks;
}

function pairsIn(digits: string): Uint16Array {
  return Uint16Array.from({ length: digits.length / 4 }, (_, i) => Number.parseInt(digits.slice(4 * i, 4 * i + 4), 16));
}

function textPairs(): Uint16Array {
  const pairs = new Set<number>();
  for (let i = 0; i + 1 < letterPairs.length; i += 2) {
    const pair = letterPairs.slice(i, i + 2);
    if (pair[0] === pair[1]) continue;
    pairs.add(pair.charCodeAt(0) * 256 + pair.charCodeAt(1));
  }
  for (const first of "esdtny:,") pairs.add(first.charCodeAt(0) * 256 + 0x20);
  return Uint16Array.from(pairs);
}
