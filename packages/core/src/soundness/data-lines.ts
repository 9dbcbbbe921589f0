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
}

/** Two data lines that always read alike. */
export interface ShortedLines {
  readonly bus: 8 | 16;
  /** Bits of a word of the bus as it lies in the file, first byte upper. */
  readonly first: number;
  readonly second: number;
  readonly bytes: number;
  readonly distinct: number;
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
    if (distinct >= enoughDistinct) found.push({ bit, level, bytes: total, exceptions, distinct });
  }
  return found;
}

function shortedIn({ even, odd, bytes, words }: Census): ShortedLines[] {
  const found: ShortedLines[] = [];
  const ofByte = differingBits(8, (value) => bytes[value] as number);
  for (const [first, second] of ofByte.alike) {
    if (ofByte.distinct >= enoughDistinct && ofByte.evidence >= enoughBytes) {
      found.push({ bus: 8, first, second, bytes: 4 * words, distinct: ofByte.distinct });
    }
  }
  if (found.length > 0) return found;
  const ofPair = differingBits(16, (value) => (even[value] as number) + (odd[value] as number));
  if (ofPair.distinct < 4 * enoughDistinct || ofPair.evidence < enoughBytes) return found;
  for (const [first, second] of ofPair.alike) {
    found.push({ bus: 16, first, second, bytes: 4 * words, distinct: ofPair.distinct });
  }
  return found;
}

/** The pairs of bits that are equal in every value that occurs. */
function differingBits(width: number, countOf: (value: number) => number) {
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
  return { alike: pairs, distinct, evidence: total - commonest };
}
