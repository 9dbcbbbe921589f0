import type { Span } from "../bytes/span.js";
import { levelWithout } from "./blank-level.js";
import type { Fill } from "./fill.js";

/** Fill between two dense neighbours that begins and ends on block borders, as a block that was never transferred does. */
export interface BlockHole {
  /** Offsets into the body, both multiples of `block`. */
  readonly start: number;
  readonly end: number;
  readonly value: number;
  /** The largest power of two that both ends are a multiple of. */
  readonly block: number;
  /** The address line of which it is one level, when no content of the body stands at that level. */
  readonly line: number | undefined;
  /** What else than a lost block it is, when it is known to be: padding as the image has it elsewhere, or unused memory. */
  readonly meant: "padding" | "unused" | undefined;
}

/** A part of the memory that somebody described, and whether it may be erased altogether. */
export interface MemoryPart {
  readonly span: Span;
  readonly mayBeErased: boolean;
}

/** Readers move blocks of at least so many bytes; shorter gaps cannot be told from alignment. */
const smallestBlock = 128;
/** The neighbours on both sides are looked at over so many bytes, */
const neighbourhood = 64;
/** and must hold at least so many different values there. */
const denseDistinct = 16;
/** Content may happen to equal the fill for so many bytes on either side. */
const chance = 3;
/** Gaps that begin anywhere, from which on an image is taken to pad up to borders. */
const paddingHabit = 2;
/** As many of them as would begin on a border of the same size by chance, at which one that does is no surprise. */
const byChance = 0.08;
/** A first table or header of at most this many bytes that is padded up to a power of two is a common layout. */
const largestHeader = 512;

/**
 * The holes of 00 or FF with both ends on block borders and dense neighbours on both sides. `address` is that of the
 * first byte; `parts` say where memory may be unused, of which the erased value is `erased`.
 */
export function blockHolesOf(
  bytes: Uint8Array,
  { runs, blocks }: Fill,
  address: number,
  parts: readonly MemoryPart[] = [],
  erased?: number,
): BlockHole[] {
  const gaps = runs.filter(
    ({ start, end, value }) =>
      (value === 0 || value === 0xff) &&
      end - start >= smallestBlock &&
      isDense(bytes, start - neighbourhood, start) &&
      isDense(bytes, end, end + neighbourhood),
  );
  const paddings = (value: number) => gaps.filter((gap) => gap.value === value && offBorder(gap.start) > chance).length;
  const padded = new Map([0, 0xff].map((value) => [value, paddings(value)]));
  const holes: BlockHole[] = [];
  for (const { start: from, end: to, value } of gaps) {
    const start = Math.ceil(from / smallestBlock) * smallestBlock;
    const end = Math.floor(to / smallestBlock) * smallestBlock;
    if (start - from > chance || to - end > chance || end <= start) continue;
    let block = smallestBlock;
    while (start % (2 * block) === 0 && end % (2 * block) === 0 && 2 * block <= end - start) block *= 2;
    const unused = value === erased && isUnused({ start: address + from, end: address + to }, parts);
    // Padding ends at a border that is coarser than the padding is long; a lost block does so by chance only.
    const habit = padded.get(value) as number;
    const expected = (habit * (chance + 1)) / Math.min(alignmentOf(start), end - start);
    const habitual =
      habit >= paddingHabit && expected >= byChance && end % (2 * block) === 0 && alignmentOf(end) > end - start;
    const header = start <= largestHeader && alignmentOf(end) === end;
    const padding = habitual || header;
    const line = end - start === block ? Math.log2(block) : undefined;
    const blank = line !== undefined && levelWithout(blocks, line) === (start / block) % 2;
    holes.push({
      start,
      end,
      value,
      block,
      line: blank ? line : undefined,
      meant: unused ? "unused" : padding ? "padding" : undefined,
    });
  }
  return holes;
}

/**
 * Whether erased memory at `span` is what the parts let expect: behind the content of a part up to its end, all of a
 * part that may be erased, or in no part at all. A part without any content of its own is not expected to be erased.
 */
function isUnused(span: Span, parts: readonly MemoryPart[]): boolean {
  const touched = parts.filter((part) => part.span.start < span.end && span.start < part.span.end);
  if (parts.length === 0) return false;
  return touched.every(
    ({ span: own, mayBeErased }) => mayBeErased || (own.start < span.start && own.end <= span.end + chance),
  );
}

function offBorder(offset: number): number {
  const behind = offset % smallestBlock;
  return Math.min(behind, smallestBlock - behind);
}

/** The largest power of two that divides `offset`. */
function alignmentOf(offset: number): number {
  let step = 1;
  while (offset % (2 * step) === 0 && step < 2 ** 31) step *= 2;
  return step;
}

function isDense(bytes: Uint8Array, from: number, to: number): boolean {
  if (from < 0 || to > bytes.length) return false;
  return new Set(bytes.subarray(from, to)).size >= denseDistinct;
}
