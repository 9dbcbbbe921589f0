import type { Census } from "./census.js";

/** A data line that reads the same level everywhere. */
export interface StuckLine {
  /** Width of the bus that the fault shows on: 8 when every byte has it, 16 or 32 when one lane of a word has. */
  readonly bus: 8 | 16 | 32;
  /** Bytes from the start of a word of the bus. */
  readonly lane: number;
  /** Bit of that byte, 0 the least significant. */
  readonly bit: number;
  readonly level: 0 | 1;
  readonly bytes: number;
  readonly exceptions: number;
  /** Different values that the other seven bits take. */
  readonly distinct: number;
  /** Whether numbers below a limit, or even ones, make the same: 0 in the uppermost or the lowest bits of a byte. */
  readonly likeNumbers: boolean;
}

/** Two data lines that always read alike. */
export interface ShortedLines {
  readonly bus: 8 | 16;
  /** Bits of a word of the bus as it lies in the file, first byte upper. */
  readonly first: number;
  readonly second: number;
  readonly bytes: number;
  readonly distinct: number;
  /** Whether each level of theirs stands beside many different ones of the other bits. */
  readonly moving: boolean;
  /** Whether signed numbers make the same: all bits from the lower one up to the uppermost of the byte are alike. */
  readonly likeNumbers: boolean;
}

export interface DataLines {
  readonly stuck: readonly StuckLine[];
  readonly shorted: readonly ShortedLines[];
}

/** So many bytes must have been looked at ... */
export const enoughBytes = 256;
/** ... and the other bits of them must have taken so many different values: tables and text take fewer. */
export const enoughDistinct = 44;
/** One byte in this many may contradict a stuck line: a contact that closes now and then. */
export const oneException = 1024;

/** The data lines that stand still or move together, from a census of the whole body. */
export function measureDataLines(census: Census): DataLines {
  const stuck: StuckLine[] = [];
  const seen = stuckIn(census.bytes);
  for (const line of seen) stuck.push({ bus: 8, lane: 0, ...line });
  const known = new Set(seen.map(({ bit }) => bit));
  const halves = [added(census.lanes[0], census.lanes[2]), added(census.lanes[1], census.lanes[3])];
  const ofHalf = halves.map((half) => stuckIn(half).filter(({ bit }) => !known.has(bit)));
  ofHalf.forEach((lines, lane) => {
    for (const line of lines) stuck.push({ bus: 16, lane, ...line });
  });
  census.lanes.forEach((counts, lane) => {
    for (const line of stuckIn(counts)) {
      if (known.has(line.bit) || ofHalf[lane % 2]?.some(({ bit }) => bit === line.bit)) continue;
      stuck.push({ bus: 32, lane, ...line });
    }
  });
  return { stuck, shorted: stuck.length > 0 ? [] : shortedIn(census) };
}

function added(a: Uint32Array, b: Uint32Array): Uint32Array {
  return a.map((count, value) => count + (b[value] as number));
}

function stuckIn(counts: Uint32Array): Omit<StuckLine, "bus" | "lane">[] {
  let total = 0;
  for (const count of counts) total += count;
  const found: Omit<StuckLine, "bus" | "lane">[] = [];
  // Fill is left out of what counts as evidence: one value that is commoner than a half says little.
  let commonest = 0;
  for (const count of counts) commonest = Math.max(commonest, count);
  const evidence = total - commonest;
  if (evidence < enoughBytes) return found;
  for (let bit = 0; bit < 8; bit++) {
    let set = 0;
    for (let value = 0; value < 256; value++) if ((value >> bit) & 1) set += counts[value] as number;
    const exceptions = Math.min(set, total - set);
    if (exceptions * oneException > evidence) continue;
    const level = set > total - set ? 1 : 0;
    let distinct = 0;
    for (let value = 0; value < 256; value++) if (((value >> bit) & 1) === level && counts[value]) distinct++;
    if (distinct >= enoughDistinct) {
      found.push({ bit, level, bytes: total, exceptions, distinct, likeNumbers: level === 0 && isAtEnd(counts, bit) });
    }
  }
  return found;
}

/** Whether no value with a bit from `bit` up, or from `bit` down, occurs but for FF, as fill. */
function isAtEnd(counts: Uint32Array, bit: number): boolean {
  const masks = [0x100 - 2 ** bit, 2 ** (bit + 1) - 1];
  return masks.some((mask) => counts.every((count, value) => count === 0 || value === 0xff || (value & mask) === 0));
}

function shortedIn({ even, odd, bytes, words }: Census): ShortedLines[] {
  const ofByte = differingBits(8, (value) => bytes[value] as number);
  if (ofByte.distinct >= enoughDistinct && ofByte.evidence >= enoughBytes) {
    const found = ofByte.alike.flatMap((pair) => shortedBy(pair, ofByte, 8, 4 * words));
    if (found.length > 0) return surestFirst(found);
  }
  const ofPair = differingBits(16, (value) => (even[value] as number) + (odd[value] as number));
  if (ofPair.distinct < 4 * enoughDistinct || ofPair.evidence < enoughBytes) return [];
  return surestFirst(ofPair.alike.flatMap((pair) => shortedBy(pair, ofPair, 16, 4 * words)));
}

function surestFirst(found: readonly ShortedLines[]): ShortedLines[] {
  const doubts = ({ moving, likeNumbers }: ShortedLines) => (moving ? 0 : 1) + (likeNumbers ? 2 : 0);
  return [...found].sort((a, b) => doubts(a) - doubts(b));
}

/** So many different bytes must stand at each level of two lines that are alike: a mark or two is no movement. */
const enoughBeside = 16;

/** What the two bits of a pair show; nothing when fill alone has them at one of the levels. */
function shortedBy([first, second]: Pair, seen: Alike, bus: 8 | 16, bytes: number): ShortedLines[] {
  const lanes = [...new Set([first >> 3, second >> 3])];
  const beside = [0, 1].map((level) => {
    const values = seen.values.filter((value) => ((value >> first) & 1) === level);
    const kinds = lanes.map((lane) => new Set(values.map((value) => (value >> (8 * lane)) & 0xff)));
    for (const kind of kinds) {
      kind.delete(0);
      kind.delete(0xff);
    }
    return Math.min(...kinds.map(({ size }) => size));
  });
  const least = Math.min(...beside);
  if (least === 0) return [];
  const run = seen.alike.filter(([a, b]) => a >= first && b <= (second | 7)).length;
  const length = (second | 7) - first + 1;
  const likeNumbers = lanes.length === 1 && run === (length * (length - 1)) / 2;
  return [{ bus, first, second, bytes, distinct: seen.distinct, moving: least >= enoughBeside, likeNumbers }];
}

type Pair = readonly [number, number];

/** Bits that were never seen to differ, in which values; without any, the values were not looked at further. */
interface Alike {
  readonly alike: readonly Pair[];
  readonly values: readonly number[];
  readonly distinct: number;
  readonly evidence: number;
}

/** The pairs of bits that are equal in every value that occurs. */
function differingBits(width: number, countOf: (value: number) => number): Alike {
  const all = 2 ** width - 1;
  // By bit: the bits above it that were never seen to differ from it.
  const alike = Uint32Array.from({ length: width }, (_, bit) => all - (2 ** (bit + 1) - 1));
  let left = all;
  let distinct = 0;
  let total = 0;
  let commonest = 0;
  // Nearly always every pair of bits is seen to differ after a few dozen values.
  for (let value = 0; value <= all && left !== 0; value++) {
    const count = countOf(value);
    if (count === 0) continue;
    distinct++;
    total += count;
    if (count > commonest) commonest = count;
    left = 0;
    for (let bit = 0; bit < width; bit++) {
      const rest = (alike[bit] as number) & ((value >> bit) & 1 ? value : ~value);
      alike[bit] = rest;
      left |= rest;
    }
  }
  const pairs: [number, number][] = [];
  for (let first = 0; first < width; first++) {
    for (let second = first + 1; second < width; second++) {
      if (((alike[first] as number) >> second) & 1) pairs.push([first, second]);
    }
  }
  const values: number[] = [];
  for (let value = 0; pairs.length > 0 && value <= all; value++) if (countOf(value) > 0) values.push(value);
  return { alike: pairs, values, distinct, evidence: total - commonest };
}
