import { type BlankLevel, blankLevelsOf } from "./blank-level.js";
import type { Census } from "./census.js";
import { contentSample } from "./fill.js";

/** An address line whose level makes no difference: the content repeats across it. */
export interface DeadLine {
  /** Bit of the byte address. */
  readonly line: number;
  /** Share of the bytes with content that are equal on both sides, and how many were compared. */
  readonly share: number;
  readonly compared: number;
  /** Blocks of twice the line's step that hold content: with one, a genuine second bank looks the same. */
  readonly pairs: number;
}

/** Two address lines that always carry the same level. */
export interface ShortedAddressLines {
  readonly first: number;
  readonly second: number;
  readonly share: number;
  readonly compared: number;
  /** Which level wins when the two differ. */
  readonly winner: 0 | 1;
}

/** The whole content again from `length` bytes on. */
export interface Wrap {
  readonly length: number;
  readonly share: number;
  readonly compared: number;
}

export interface AddressLines {
  readonly dead: readonly DeadLine[];
  readonly shorted: readonly ShortedAddressLines[];
  readonly wrap: Wrap | undefined;
  readonly blank: readonly BlankLevel[];
}

/** Share of equal bytes from which two sides count as the same: code repeats itself across a line in less than half. */
export const sameShare = 0.8;
/** Fewer compared bytes decide nothing. */
const enough = 192;
const sampleSize = 4096;

/** Which address lines make no difference, which two are one, and whether the content starts again. */
export function measureAddressLines(bytes: Uint8Array, blocks: Uint8Array, census: Census): AddressLines {
  const content = contentSample(blocks, bytes.length, sampleSize);
  const sample = telling(bytes, content, fillersOf(census));
  const lines = Math.ceil(Math.log2(Math.max(2, bytes.length)));
  const dead: DeadLine[] = [];
  for (let line = 0; line < lines; line++) {
    const { share, compared } = equalShare(bytes, sample, 2 ** line);
    if (share < sameShare || compared < enough || compared < sample.length / 4) continue;
    dead.push({ line, share, compared, pairs: pairsOf(blocks, line) });
  }
  return {
    dead,
    shorted: shortedOf(bytes, sample, lines, new Set(dead.map(({ line }) => line))),
    wrap: wrapOf(bytes, sample),
    blank: blankLevelsOf(bytes, blocks, content),
  };
}

/** A value that stands at one of the four offsets of a word more often than in one of so many is a filler there. */
const fillerShare = 8;

/**
 * By offset in a word and value: 1 for what equals itself too often to show anything, such as 00, FF, either of them
 * with a bit stuck, or the first byte of characters in UTF-8.
 */
function fillersOf({ lanes, words }: Census): Uint8Array {
  const fillers = new Uint8Array(1024);
  lanes.forEach((counts, lane) => {
    counts.forEach((count, value) => {
      if (value === 0 || value === 0xff || count * fillerShare > words) fillers[256 * lane + value] = 1;
    });
  });
  return fillers;
}

/** The offsets of `sample` whose byte is no usual filler: where 00 meets 00 nothing is shown. */
function telling(bytes: Uint8Array, sample: Uint32Array, fillers: Uint8Array): Uint32Array {
  return sample.filter((offset) => !fillers[256 * (offset & 3) + (bytes[offset] as number)]);
}

/** `offset` with the bits of `mask` turned over, without signed arithmetic. */
function across(offset: number, mask: number): number {
  return (offset ^ mask) >>> 0;
}

function equalShare(bytes: Uint8Array, sample: Uint32Array, mask: number) {
  let equal = 0;
  let compared = 0;
  for (const offset of sample) {
    const other = across(offset, mask);
    if (other >= bytes.length) continue;
    compared++;
    if (bytes[offset] === bytes[other]) equal++;
  }
  return { share: compared === 0 ? 0 : equal / compared, compared };
}

function pairsOf(blocks: Uint8Array, line: number): number {
  const step = Math.max(1, 2 ** (line + 1) / 64);
  let pairs = 0;
  for (let from = 0; from < blocks.length; from += step) {
    if (blocks.subarray(from, from + step).includes(1)) pairs++;
  }
  return pairs;
}

function shortedOf(
  bytes: Uint8Array,
  sample: Uint32Array,
  lines: number,
  dead: ReadonlySet<number>,
): ShortedAddressLines[] {
  const found: ShortedAddressLines[] = [];
  for (let first = 0; first < lines; first++) {
    if (dead.has(first)) continue;
    for (let second = first + 1; second < lines; second++) {
      if (dead.has(second)) continue;
      const [low, high] = [2 ** first, 2 ** second];
      let equal = 0;
      let compared = 0;
      let asNone = 0;
      let asBoth = 0;
      for (const offset of sample) {
        if ((((offset >>> first) ^ (offset >>> second)) & 1) === 0) continue;
        const other = across(offset, low + high);
        if (other >= bytes.length) continue;
        compared++;
        if (bytes[offset] === bytes[other]) equal++;
        else if (compared === 48 && equal < 16) break;
        const none = offset - ((offset >>> first) & 1) * low - ((offset >>> second) & 1) * high;
        if (bytes[offset] === bytes[none]) asNone++;
        if (bytes[offset] === bytes[none + low + high]) asBoth++;
      }
      const share = compared === 0 ? 0 : equal / compared;
      const winner = asNone >= asBoth ? 0 : 1;
      if (compared < enough / 2 || share < sameShare || Math.max(asNone, asBoth) < sameShare * compared) continue;
      found.push({ first, second, share, compared, winner });
    }
  }
  return found;
}

/** Share of equal bytes from which content counts as the same as a period before. */
export const wrapShare = 0.9;

/**
 * The shortest power of two after which the content comes again to the end, in a body that is no multiple of it twice.
 * It is asked both ways: where a copy is missing, as behind two shorted lines, nothing was repeated as a whole.
 */
function wrapOf(bytes: Uint8Array, sample: Uint32Array): Wrap | undefined {
  for (let length = 1024; length < bytes.length; length *= 2) {
    let equal = 0;
    let compared = 0;
    for (const offset of sample) {
      if (offset < length) continue;
      compared++;
      if (bytes[offset] === bytes[offset % length]) equal++;
    }
    if (compared < enough || equal < wrapShare * compared || !goesOn(bytes, sample, length)) continue;
    return { length, share: equal / compared, compared };
  }
  return undefined;
}

/** Whether the content stands again `length` bytes on, wherever the body reaches so far. */
function goesOn(bytes: Uint8Array, sample: Uint32Array, length: number): boolean {
  const before = sample.filter((offset) => offset + length < bytes.length);
  const copied = before.reduce((sum, offset) => sum + (bytes[offset] === bytes[offset + length] ? 1 : 0), 0);
  return copied >= wrapShare * before.length;
}
