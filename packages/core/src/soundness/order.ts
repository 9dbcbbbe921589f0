import type { Census } from "./census.js";
import { type Correction, linesExchanged, pairMaps, placeInFile } from "./corrections.js";
import { idioms, letterPairs } from "./idioms.js";

/** How legible the content is in one order: shares of its telling pairs that are known code, and known text. */
export interface Legibility {
  readonly code: number;
  /** The family of processors whose code it looks like most. */
  readonly family: string;
  readonly text: number;
  /** The share of text across pairs: second byte of one, first of the next. */
  readonly across: number;
}

/** A correction, what it makes legible, and what the same bytes are as they stand. */
export interface Candidate {
  readonly correction: Correction;
  readonly legibility: Legibility;
  readonly asIs: Legibility;
  /** Pairs that the shares are of. */
  readonly pairs: number;
  /** How many times as legible as it stands. */
  readonly gain: number;
  /** The same in standard deviations of the counts. */
  readonly deviations: number;
}

/** Whether another order of bytes, bits or lines makes the content legible. */
export interface Order {
  /** Pairs of bytes that can tell anything: no fill, no small numbers. */
  readonly pairs: number;
  readonly asIs: Legibility;
  /** The correction that gains most. */
  readonly best: Candidate | undefined;
}

interface Family {
  readonly name: string;
  readonly even: Uint16Array;
  readonly odd: Uint16Array;
}

const families: readonly Family[] = idioms.map(({ family, even, odd }) => ({
  name: family,
  even: pairsIn(even),
  odd: pairsIn(odd),
}));
const text: Uint16Array = textPairs();
const isText = new Uint8Array(65536);
for (const pair of text) isText[pair] = 1;
/** By pair: one bit for each family that has it among its commonest. */
const familiesAtEven = masksOf((family) => family.even);
const familiesAtOdd = masksOf((family) => family.odd);
const maps = pairMaps();
const windowLength = 64;
const windows = 512;
const firstLook = 96;

/** How legible the content is as it stands, and the correction that makes it most legible. */
export function measureOrder(bytes: Uint8Array, blocks: Uint8Array, census: Census): Order {
  const pairs = tellingPairs(census);
  const asIs = legibility(census, pairs);
  let best: Candidate | undefined;
  const offer = (candidate: Candidate) => {
    if (!best || rankOf(candidate) > rankOf(best)) best = candidate;
  };
  for (const { correction, inFile } of maps) {
    offer(candidateOf(correction, legibility(census, pairs, inFile), asIs, pairs));
  }
  const plain = sampled(bytes, windowsIn(blocks, bytes.length, undefined, windows), undefined);
  for (const correction of arrangements(bytes.length)) {
    const place = placeOf(correction, bytes.length);
    if (correction.kind === "exchange-address-lines") {
      // There are many of these: a short look rules nearly all of them out.
      const look = sampled(bytes, windowsIn(blocks, bytes.length, place, firstLook), place);
      if (scoreOf(look.legibility) < 1.1 * scoreOf(plain.legibility)) continue;
    }
    const sample = sampled(bytes, windowsIn(blocks, bytes.length, place, windows), place);
    // What stands beside fill in every pair tells nothing as it is: the arranged sample says how much there is to tell.
    offer(candidateOf(correction, sample.legibility, plain.legibility, sample.pairs));
  }
  return { pairs, asIs, best };
}

/**
 * Gains in deviations, as if all had been counted over as many pairs. Exchanging A0 with the top line brings the same
 * bytes beside each other as putting two parts together does, only the pairs are then out of order: so the other
 * explanation comes first when both gain alike.
 */
function rankOf({ correction, deviations, pairs }: Candidate): number {
  const rank = deviations / Math.sqrt(Math.max(1, pairs));
  return correction.kind === "exchange-address-lines" ? 0.9 * rank : rank;
}

function candidateOf(correction: Correction, found: Legibility, asIs: Legibility, pairs: number): Candidate {
  const [now, then] = [scoreOf(found) * pairs, scoreOf(asIs) * pairs];
  return {
    correction,
    legibility: found,
    asIs,
    pairs,
    gain: now / Math.max(1, then),
    deviations: (now - then) / Math.sqrt(Math.max(1, now + then)),
  };
}

/** One number to rank orders by. Text counts for more, being the same for every processor; across pairs most: code is not seen there. */
function scoreOf({ code, text: share, across }: Legibility): number {
  return code + 2 * share + 4 * across;
}

function* arrangements(length: number): Generator<Correction> {
  for (const kind of ["swap-16", "swap-32", "swap-halves-32"] as const) yield { kind };
  if (length % 4 === 0) {
    for (const kind of ["interleave", "interleave-16", "separate", "separate-16"] as const) yield { kind };
  }
  for (const first of [0, 1, 2]) {
    for (let second = first + 1; 2 ** (second + 1) <= length; second++) {
      // Exchanging A0 with A1 swaps the middle bytes of words; A1 with A2 the middle pairs of eight bytes.
      yield { kind: "exchange-address-lines", first, second };
    }
  }
}

function placeOf(correction: Correction, length: number): (offset: number) => number {
  if (correction.kind === "exchange-address-lines") {
    const { first, second } = correction;
    return (offset) => linesExchanged(offset, first, second);
  }
  return placeInFile(correction, length) ?? ((offset) => offset);
}

function legibility(counts: Census, pairs: number, inFile?: (pair: number) => number): Legibility {
  const { even, odd } = counts;
  let code = 0;
  let family = "";
  for (const candidate of families) {
    const hits = hitsOf(even, candidate.even, inFile) + hitsOf(odd, candidate.odd, inFile);
    if (hits > code) [code, family] = [hits, candidate.name];
  }
  const of = Math.max(1, pairs);
  return {
    code: code / of,
    family,
    text: (hitsOf(even, text, inFile) + hitsOf(odd, text, inFile)) / of,
    across: 0,
  };
}

function hitsOf(counts: Uint32Array, pairs: Uint16Array, inFile: ((pair: number) => number) | undefined): number {
  let hits = 0;
  if (inFile) {
    for (let i = 0; i < pairs.length; i++) {
      const pair = inFile(pairs[i] as number);
      if (isTelling(pair)) hits += counts[pair] as number;
    }
  } else for (let i = 0; i < pairs.length; i++) hits += counts[pairs[i] as number] as number;
  return hits;
}

function isTelling(pair: number): boolean {
  const [first, second] = [pair >> 8, pair & 0xff];
  return first !== second && first !== 0 && first !== 0xff && second !== 0 && second !== 0xff;
}

/** Pairs with a filler byte (00, FF) or of two equal bytes read the same in any order and are not counted. */
function tellingPairs({ even, odd }: Census): number {
  let total = 0;
  for (let first = 1; first < 255; first++) {
    for (let pair = first * 256 + 1; pair < first * 256 + 255; pair++) {
      if (pair !== first * 257) total += (even[pair] as number) + (odd[pair] as number);
    }
  }
  return total;
}

/** Windows of the original, spread evenly over those that stand in content of the file. */
function windowsIn(
  blocks: Uint8Array,
  length: number,
  place: ((offset: number) => number) | undefined,
  count: number,
): number[] {
  const held: number[] = [];
  const tried = Math.max(1, Math.ceil(blocks.length / (8 * count)));
  for (let at = 0; at + windowLength <= length; at += windowLength * tried) {
    if (blocks[Math.floor((place ? place(at) : at) / windowLength)]) held.push(at);
  }
  const step = Math.max(1, held.length / count);
  return Array.from({ length: Math.min(count, held.length) }, (_, i) => held[Math.floor(i * step)] as number);
}

/** How legible windows of the original are when gathered from where they stand in the file. */
function sampled(bytes: Uint8Array, places: readonly number[], place: ((offset: number) => number) | undefined) {
  const hits = new Uint32Array(families.length);
  let pairs = 0;
  let texts = 0;
  let across = 0;
  for (const at of places) {
    if (at + windowLength > bytes.length) continue;
    let last = 0;
    for (let i = at; i < at + windowLength; i += 2) {
      const first = bytes[place ? place(i) : i] ?? 0;
      const second = bytes[place ? place(i + 1) : i + 1] ?? 0;
      const pair = first * 256 + second;
      if (first !== 0 && first !== 0xff && second !== 0 && second !== 0xff && first !== second) pairs++;
      if (isText[pair]) texts++;
      if (i > at && isText[last * 256 + first]) across++;
      let mask = (i % 4 === 0 ? familiesAtEven : familiesAtOdd)[pair] as number;
      for (let family = 0; mask !== 0; family++, mask >>>= 1) if (mask & 1) hits[family] = (hits[family] as number) + 1;
      last = second;
    }
  }
  let best = 0;
  for (let family = 1; family < hits.length; family++) {
    if ((hits[family] as number) > (hits[best] as number)) best = family;
  }
  const of = Math.max(1, pairs);
  const code = (hits[best] as number) / of;
  return { pairs, legibility: { code, family: families[best]?.name ?? "", text: texts / of, across: across / of } };
}

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

/** The commonest pairs of letters in lower case, and those of them that stand at the start of a word or are spaced. */
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
