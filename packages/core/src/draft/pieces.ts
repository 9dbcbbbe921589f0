import { contains, lengthOf, overlap, type Span } from "../bytes/span.js";
import { blockAround, type DraftedChecksum } from "./checksums.js";
import { shortestErased } from "./family.js";
import { runsOf } from "./runs.js";
import type { Variation } from "./variation.js";

/** A part of the memory that is taken for one thing. */
export interface Piece {
  readonly span: Span;
  /** From its first byte that is not erased in all reads to the last; undefined when all of it is. */
  readonly content: Span | undefined;
  /** The smallest checksum that covers all of it. */
  readonly block: DraftedChecksum | undefined;
}

/** Content begins a part of its own at a multiple of this, behind erased memory. */
const partStep = 128;
/** Content that begins so far behind other content does in any case. */
const farApart = 1024;
/** Without a checksum around it, content less far behind other content belongs to that. */
const clearlyApart = 256;
const valueBlock = 1024;
/** What is shorter is the stored value of something, and no part of its own. */
const shortestPart = 8;
/** A small part is not thought to be larger than the block it begins with, up to this. */
const largestGrown = 4096;

/**
 * The memory in parts: cut where a checksum begins or ends and where content begins behind erased memory at a round
 * address. Each part reaches to the next one under the same checksum, else to the end of the block that it begins.
 */
export function piecesIn(variation: Variation, checksums: readonly DraftedChecksum[]): Piece[] {
  const whole = { start: variation.start, end: variation.end };
  const edges = new Set([whole.start, whole.end]);
  for (const { hull } of checksums) {
    if (!contains(whole, hull)) continue;
    edges.add(hull.start);
    edges.add(hull.end);
  }
  const sorted = [...edges].sort((a, b) => a - b);
  return sorted.slice(1).flatMap((end, i) => {
    const segment = { start: sorted[i] as number, end };
    const block = blockAround(checksums, segment);
    return piecesOfSegment(variation, segment, block);
  });
}

function piecesOfSegment(variation: Variation, segment: Span, block: DraftedChecksum | undefined): Piece[] {
  const pieces: Piece[] = [];
  const islands = partsIn(variation, segment, block !== undefined);
  const blank = (start: number, end: number) => {
    if (end > start) pieces.push({ span: { start, end }, content: undefined, block });
  };
  let at = segment.start;
  for (const [i, island] of islands.entries()) {
    const next = islands[i + 1];
    const from = block && i === 0 ? segment.start : Math.max(at, island.start - (island.start % 16));
    const limit = next ? next.start - (next.start % 16) : segment.end;
    const end = block ? limit : grownEnd(island, from, limit);
    blank(at, from);
    pieces.push({ span: { start: from, end }, content: island, block });
    at = end;
  }
  blank(at, segment.end);
  return pieces;
}

/** Where a part ends that no checksum bounds: with the block that its start is a multiple of, or that its content fills. */
function grownEnd(content: Span, from: number, limit: number): number {
  const size = content.end - from;
  const step = size >= largestGrown ? largestGrown : Math.max(16, Math.min(largestGrown, alignmentOf(from)));
  const full = size >= 16 && Number.isInteger(Math.log2(size)) && from % size === 0;
  return full ? content.end : Math.min(limit, from + step * Math.ceil(size / step));
}

function alignmentOf(address: number): number {
  let step = 1;
  while (step < largestGrown && address % (2 * step) === 0) step *= 2;
  return step;
}

/** Runs of content in `segment` that begin at round addresses behind erased memory; what begins elsewhere belongs to the one before. */
function partsIn(variation: Variation, segment: Span, checked: boolean): Span[] {
  const parts: { start: number; end: number }[] = [];
  const runs = runsOf(segment, (address) => !variation.isErased(address), shortestErased).flatMap(cutBehindValue);
  for (const run of runs) {
    const last = parts.at(-1);
    const behindValue = last !== undefined && run.start === last.end;
    const begins = run.start - (run.start % 16);
    const gap = last === undefined ? 0 : run.start - last.end;
    const own = behindValue || gap >= farApart || (begins % partStep === 0 && (checked || gap >= clearlyApart));
    if (last && (!own || begins < last.end || lengthOf(run) <= shortestPart)) last.end = run.end;
    else parts.push({ ...run });
  }
  return parts;
}

/** A run that begins with the last bytes of a block, behind erased memory, begins with a value that ends what is before it. */
function cutBehindValue(run: Span): Span[] {
  const block = Math.ceil(run.start / valueBlock) * valueBlock;
  const value = block - run.start;
  if (value === 0 || value > shortestPart || run.end <= block) return [run];
  return [
    { start: run.start, end: block },
    { start: block, end: run.end },
  ];
}

/** The parts of `pieces` that `span` meets. */
export function meeting(pieces: readonly Piece[], span: Span): readonly Piece[] {
  return pieces.filter((piece) => overlap(piece.span, span) && lengthOf(piece.span) > 0);
}
