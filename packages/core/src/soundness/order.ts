import type { Census } from "./census.js";
import { type Correction, gather, inFile, type PairMap, pairMaps, placeInFile } from "./corrections.js";
import { familiar } from "./familiar.js";

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
  /** How many different pairs make up what it makes legible, each counted by its share (the inverse of Simpson's index). */
  readonly kinds: number;
  /** Share of the pairs, but those of 00 and FF, in which the second byte is the complement of the first. */
  readonly complements: number;
}

const windowLength = 64;
const windows = 512;
/** Where those decide nearly, but not surely, so many are looked at. */
const windowsInDoubt = 4096;
const doubtFrom = 4;
const doubtTo = 12;
const firstLook = 64;
/** Pairs of bytes that are looked at first, and how many times as legible they must be for a full count. */
const commonestLooked = 384;
const worthCounting = 1.05;
/** How many times as legible a short look must be for a long one. */
const worthALook = 1.1;

/** How legible the content is as it stands, and the correction that makes it most legible. */
export function measureOrder(bytes: Uint8Array, blocks: Uint8Array, census: Census): Order {
  const pairs = tellingPairs(census);
  const asIs = legibility(census, pairs);
  let best: Candidate | undefined;
  const rivals: Candidate[] = [];
  const offer = (candidate: Candidate) => {
    if (!best || rankOf(candidate) > rankOf(best)) best = candidate;
    if (candidate.deviations >= rivalDeviations && isArrangement(candidate)) rivals.push(candidate);
  };
  const commonest = commonestPairs(census);
  const enoughOfThem = commonestScore(commonest, census, undefined) * worthCounting;
  for (const map of pairMaps()) {
    // The commonest pairs rule out nearly all of these; what they leave is counted in full.
    if (commonestScore(commonest, census, map) < enoughOfThem) continue;
    offer(candidateOf(map.correction, legibility(census, pairs, map), asIs, pairs));
  }
  const everywhere = sampled(bytes, windowsIn(blocks, bytes.length, undefined, windows), undefined);
  const both = (correction: Correction, count: number) => {
    // Held against what the same bytes say as they stand, too: elsewhere there may be less code, or less text.
    const places = windowsIn(blocks, bytes.length, correction, count);
    const plain = sampled(bytes, sourcesOf(places, correction, bytes.length), undefined);
    return { found: sampled(bytes, places, correction), plain };
  };
  const held = (correction: Correction, { found, plain }: ReturnType<typeof both>) => {
    const own = arranged(correction, found, plain);
    const other = arranged(correction, found, everywhere);
    return own.deviations <= other.deviations ? own : other;
  };
  for (const correction of arrangements(bytes.length)) {
    // A short look rules nearly all of them out. Of the exchanged lines there are many, so theirs is shorter.
    const many = correction.kind === "exchange-address-lines";
    const look = both(correction, many ? firstLook : 2 * firstLook);
    if (scoreOf(look.found.legibility) < (many ? worthALook : 1) * scoreOf(look.plain.legibility)) continue;
    const candidate = held(correction, both(correction, windows));
    const { deviations } = candidate;
    if (many || blocks.length <= windows || deviations < doubtFrom || deviations > doubtTo) offer(candidate);
    else {
      const more = both(correction, windowsInDoubt);
      offer(arranged(correction, more.found, more.plain));
    }
  }
  const chosen = best && mostContinuous(bytes, blocks, best, rivals);
  const kinds = chosen ? kindsMet(bytes, blocks, census, chosen) : 0;
  return { pairs, asIs, best: chosen, kinds, complements: complementsIn(census) };
}

function complementsIn({ even, odd, words }: Census): number {
  const of = (pair: number) => (even[pair] as number) + (odd[pair] as number);
  let complements = 0;
  for (let byte = 1; byte < 255; byte++) complements += of(byte * 256 + (byte ^ 0xff));
  return complements / Math.max(1, 2 * words - of(0x00ff) - of(0xff00) - of(0) - of(0xffff));
}

/** How many kinds of familiar pairs `candidate` makes: code and text are many, a habit of numbers is one or two. */
function kindsMet(
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

/** Arrangements that gain so much are held against the best one, when they gain nearly as much as it does. */
const rivalDeviations = 5;
const nearlyAsMuch = 0.85;
/** By so many deviations of their counts more sequences must be met again. */
const moreContinuous = 3;

/** Corrections that leave every byte, or every pair, where it is. */
const bitKinds: ReadonlySet<Correction["kind"]> = new Set<Correction["kind"]>([
  "reverse-bits",
  "invert-bits",
  "swap-nibbles",
  "swap-16-reverse-bits",
  "exchange-data-lines",
]);

function isArrangement({ correction: { kind } }: Candidate): boolean {
  return !bitKinds.has(kind);
}

/**
 * Of arrangements that put the same bytes beside each other the one in which content also goes on from pair to pair:
 * exchanged lines A0 and A1, and two parts that were interleaved, make the same pairs in another order.
 */
function mostContinuous(
  bytes: Uint8Array,
  blocks: Uint8Array,
  best: Candidate,
  rivals: readonly Candidate[],
): Candidate {
  if (!isArrangement(best) || rivals.length < 2) return best;
  const rank = rankOf(best);
  let most = best;
  let met = metAgain(bytes, blocks, best.correction);
  for (const rival of rivals) {
    if (rival === best || rankOf(rival) < nearlyAsMuch * rank) continue;
    const own = metAgain(bytes, blocks, rival.correction);
    if (own - met < moreContinuous * Math.sqrt(own + met)) continue;
    [most, met] = [rival, own];
  }
  return most;
}

/** Marks for sequences, as a power of two: sparse for the few thousand that a sample holds. */
const sequenceBits = 17;

/** How many telling sequences of four bytes a sample of the arranged content holds more than once. */
function metAgain(bytes: Uint8Array, blocks: Uint8Array, correction: Correction): number {
  const marks = new Uint8Array(2 ** sequenceBits);
  const window = new Uint8Array(windowLength);
  let again = 1;
  for (const at of windowsIn(blocks, bytes.length, correction, windows)) {
    gather(bytes, correction, at, window);
    for (let i = 0; i + 4 <= windowLength; i += 2) {
      const first = ((window[i] as number) << 8) | (window[i + 1] as number);
      const second = ((window[i + 2] as number) << 8) | (window[i + 3] as number);
      if (!isTelling(first) || !isTelling(second)) continue;
      const slot = Math.imul((first << 16) | second, 0x9e3779b1) >>> (32 - sequenceBits);
      if (marks[slot]) again++;
      marks[slot] = 1;
    }
  }
  return again;
}

/**
 * What stands beside fill in every pair tells nothing as it is: the arranged sample says how much there is to tell.
 * Exchanged halves leave every pair as it is. Where code does not mind, only text that goes on from pair to pair tells.
 */
function arranged(
  correction: Correction,
  { pairs, legibility: found }: Sampled,
  { legibility: asIs }: Sampled,
): Candidate {
  const candidate = candidateOf(correction, found, asIs, pairs);
  if (correction.kind !== "swap-halves-32" || found.code < 0.97 * asIs.code) return candidate;
  const [now, then] = [found.across * pairs, asIs.across * pairs];
  const gain = now / Math.max(1, then);
  const deviations = (now - then) / Math.sqrt(Math.max(1, now + then));
  return gain > candidate.gain ? { ...candidate, gain, deviations } : candidate;
}

/**
 * Gains in deviations, as if all had been counted over as many pairs. Exchanging A0 with the top line brings the same
 * bytes beside each other as putting two parts together does, only the pairs are then out of order: so the other
 * explanation comes first when both gain alike.
 */
function rankOf({ correction, deviations, pairs }: Candidate): number {
  // Where little stands beside each other chance gains much: what means nothing comes behind all that does.
  if (deviations < rivalDeviations) return deviations - 1000;
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

function legibility({ even, odd }: Census, pairs: number, map?: PairMap): Legibility {
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

/** Adds `count` to each family of `mask`. */
function add(hits: Uint32Array, mask: number, count: number): void {
  for (let rest = mask; rest !== 0; rest &= rest - 1) {
    const family = 31 - Math.clz32(rest & -rest);
    hits[family] = (hits[family] as number) + count;
  }
}

function isTelling(pair: number): boolean {
  const first = pair >> 8;
  const second = pair & 0xff;
  return first !== second && first !== 0 && first !== 0xff && second !== 0 && second !== 0xff;
}

/** Pairs with a filler byte (00, FF) or of two equal bytes read the same in any order and are not counted. */
function tellingPairs({ even, odd, words }: Census): number {
  const of = (pair: number) => (even[pair] as number) + (odd[pair] as number);
  let rest = 0;
  for (let byte = 0; byte < 256; byte++) {
    rest += of(byte) + of(0xff00 + byte);
    if (byte > 0 && byte < 255) rest += of(byte * 256) + of(byte * 256 + 0xff) + of(byte * 257);
  }
  return 2 * words - rest;
}

/** The telling pairs that are commonest in the census. */
function commonestPairs({ even, odd }: Census): Uint16Array {
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
function commonestScore(pairs: Uint16Array, { even, odd }: Census, map: PairMap | undefined): number {
  const { families, isText, atEven: familiesAtEven, atOdd: familiesAtOdd } = familiar();
  const hits = new Uint32Array(families.length);
  let text = 0;
  for (let i = 0; i < pairs.length; i++) {
    const pair = pairs[i] as number;
    const original = map ? inFile(map, pair) : pair;
    const atEven = even[pair] as number;
    const atOdd = odd[pair] as number;
    if (isText[original]) text += atEven + atOdd;
    add(hits, familiesAtEven[original] as number, atEven);
    add(hits, familiesAtOdd[original] as number, atOdd);
  }
  let code = 0;
  for (const count of hits) code = Math.max(code, count);
  return code + 2 * text;
}

/**
 * Windows of the original, spread evenly over those that stand in content of the file. What two halves or two sides of
 * a line are to give must be content in both: else fill takes part in what is read.
 */
function windowsIn(blocks: Uint8Array, length: number, correction: Correction | undefined, count: number): number[] {
  const held: number[] = [];
  const tried = Math.max(1, Math.ceil(blocks.length / (8 * count)));
  const across = correction?.kind === "exchange-address-lines" ? 2 ** correction.second : 0;
  const both = across >= windowLength;
  for (let at = 0; at + windowLength <= length; at += windowLength * tried) {
    // Counted once and taken with its counterpart: so the same bytes are read in both orders.
    if (both && Math.floor(at / across) % 2 === 1) continue;
    const isHeld = (offset: number) => {
      const place = correction && !both ? placeInFile(correction, offset, length) : offset;
      return offset < length && blocks[Math.floor(place / windowLength)] === 1;
    };
    if (isHeld(at) && isHeld(both ? at + across : at + windowLength - 1)) held.push(at);
  }
  const wanted = both ? count / 2 : count;
  const step = Math.max(1, held.length / wanted);
  const taken = Array.from({ length: Math.min(wanted, held.length) }, (_, i) => held[Math.floor(i * step)] as number);
  return both ? taken.flatMap((at) => [at, at + across]) : taken;
}

/** The windows of the file that the bytes of `places` of the original stand in. */
function sourcesOf(places: readonly number[], correction: Correction, length: number): number[] {
  const blocks = new Set<number>();
  for (const at of places) {
    for (const offset of [at, at + windowLength - 1]) {
      blocks.add(Math.floor(placeInFile(correction, offset, length) / windowLength));
    }
  }
  return [...blocks].map((block) => block * windowLength);
}

interface Sampled {
  readonly pairs: number;
  readonly legibility: Legibility;
}

/** How legible windows of the original are when gathered from where they stand in the file. */
function sampled(bytes: Uint8Array, places: readonly number[], correction: Correction | undefined): Sampled {
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
      add(hits, (i % 4 === 0 ? atEven : atOdd)[pair] as number, 1);
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
