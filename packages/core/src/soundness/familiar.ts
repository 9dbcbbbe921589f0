import { idioms, letterPairs } from "./idioms.js";

/** The commonest pairs of bytes of a family of processors. */
export interface Family {
  readonly name: string;
  readonly even: Uint16Array;
  readonly odd: Uint16Array;
}

/** What makes content legible. */
export interface Familiar {
  readonly families: readonly Family[];
  /** The commonest pairs of letters in lower case, and those of them that stand at the end of a word. */
  readonly texts: Uint16Array;
  /** By pair: 1 for those. */
  readonly isText: Uint8Array;
  /** By pair: one bit for each family that has it among its commonest, at even and at odd pairs. */
  readonly atEven: Uint32Array;
  readonly atOdd: Uint32Array;
}

/** The same tables every time, made when first asked for: few reads need them. */
export function familiar(): Familiar {
  made ??= everythingFamiliar();
  return made;
}
let made: Familiar | undefined;

function everythingFamiliar(): Familiar {
  const families = idioms.map(({ family, even, odd }) => ({ name: family, even: pairsIn(even), odd: pairsIn(odd) }));
  const texts = textPairs();
  const isText = new Uint8Array(65536);
  for (const pair of texts) isText[pair] = 1;
  const atEven = masksOf(families.map(({ even }) => even));
  const atOdd = masksOf(families.map(({ odd }) => odd));
  return { families, texts, isText, atEven, atOdd };
}

function masksOf(families: readonly Uint16Array[]): Uint32Array {
  const masks = new Uint32Array(65536);
  families.forEach((pairs, i) => {
    for (const pair of pairs) masks[pair] = (masks[pair] as number) + 2 ** i;
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

/** Adds `count` to each family of `mask`, as `atEven` and `atOdd` have them. */
export function addHits(hits: Uint32Array, mask: number, count: number): void {
  for (let rest = mask; rest !== 0; rest &= rest - 1) {
    const family = 31 - Math.clz32(rest & -rest);
    hits[family] = (hits[family] as number) + count;
  }
}
