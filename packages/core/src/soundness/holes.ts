import type { FillRun } from "./fill.js";

/** Fill between two dense neighbours that begins and ends on block borders, as a block that was never transferred does. */
export interface BlockHole {
  /** Offsets into the body, both multiples of `block`. */
  readonly start: number;
  readonly end: number;
  readonly value: number;
  /** The largest power of two that both ends are a multiple of. */
  readonly block: number;
}

/** Readers move blocks of at least so many bytes; shorter gaps cannot be told from alignment. */
const smallestBlock = 128;
/** The neighbours on both sides are looked at over so many bytes, */
const neighbourhood = 64;
/** and must hold at least so many different values there. */
const denseDistinct = 16;
/** Content may happen to equal the fill for so many bytes on either side. */
const chance = 3;

/** The holes of 00 or FF with both ends on block borders and dense neighbours on both sides. */
export function blockHolesOf(bytes: Uint8Array, runs: readonly FillRun[]): BlockHole[] {
  const holes: BlockHole[] = [];
  for (const { start: from, end: to, value } of runs) {
    if ((value !== 0 && value !== 0xff) || to - from < smallestBlock) continue;
    const start = Math.ceil(from / smallestBlock) * smallestBlock;
    const end = Math.floor(to / smallestBlock) * smallestBlock;
    if (start - from > chance || to - end > chance || end <= start || from === 0 || to === bytes.length) continue;
    if (!isDense(bytes, from - neighbourhood, from) || !isDense(bytes, to, to + neighbourhood)) continue;
    let block = smallestBlock;
    while (start % (2 * block) === 0 && end % (2 * block) === 0 && 2 * block <= end - start) block *= 2;
    holes.push({ start, end, value, block });
  }
  return holes;
}

function isDense(bytes: Uint8Array, from: number, to: number): boolean {
  if (from < 0 || to > bytes.length) return false;
  return new Set(bytes.subarray(from, to)).size >= denseDistinct;
}
