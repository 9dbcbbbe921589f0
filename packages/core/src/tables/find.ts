import { overlap, type Span } from "../bytes/span.js";
import type { ByteOrder } from "../bytes/word.js";
import type { Image } from "../image/image.js";
import { type Candidate, rankOf, searchTables } from "./search.js";

/** Data that look like a curve (one axis) or a map (two axes): points that rise or fall, then values that go smoothly. */
export interface DataTable {
  /** All of it: the numbers of points, where they stand in front, axes and values. */
  readonly span: Span;
  /** Of the values; a curve has one row. */
  readonly rows: number;
  readonly columns: number;
  /** Bits of one value. */
  readonly width: 8 | 16;
  readonly signed: boolean;
  /** Undefined when all of it are single bytes. */
  readonly order: ByteOrder | undefined;
  readonly values: Span;
  /** In the order in which they lie: of a map that of the columns, or that of the rows, first. */
  readonly axes: readonly TableAxis[];
  /** How many numbers of points stand in front and fit. */
  readonly counts: 0 | 1 | 2;
  /** How improbable it is that shuffled bytes look like this, in bits. */
  readonly score: number;
  /** `likely` from 60 bits on. How often either is wrong is measured in docs/tables.md. */
  readonly certainty: "likely" | "possible";
}

export interface TableAxis {
  readonly what: "columns" | "rows";
  readonly points: number;
  /** Bits of one point. */
  readonly width: 8 | 16;
  readonly span: Span;
}

/** Bytes of the largest table: 32 by 32 words, two axes and two numbers of points. */
export const largestTable: number = 2 * (32 * 32 + 32 + 32 + 2);
/** Searched at a time. */
const stretch = 16384;
/** Bits that a table must come to; one that has its numbers of points in front is content with what the search keeps. */
const possible = 36;
const likely = 60;

/**
 * The tables in `image`, by address, none overlapping another: of readings that overlap the best one. Only the known
 * parts of `spans` are searched, or all of it. Time goes with what is searched, about a second a MiB; memory does not.
 */
export function findTables(image: Image, spans: readonly Span[] = image.spans): DataTable[] {
  const found: DataTable[] = [];
  for (const span of spans) {
    for (const { address, bytes } of image.within(span)) {
      // A table that begins in one stretch may end in the next.
      for (let from = 0; from < bytes.length; from += stretch) {
        const part = bytes.subarray(from, from + stretch + largestTable);
        found.push(...bestOf(searchTables(part, address + from)).map((one) => placed(one, address + from)));
      }
    }
  }
  return withoutOverlap(found);
}

/** Of candidates that overlap the best one, unless that is a list: then only one whose numbers of points both fit. */
function bestOf(candidates: readonly Candidate[]): Candidate[] {
  const taken: Candidate[] = [];
  for (const one of candidates) {
    const settled = one.counts === 2;
    if (!taken.some(({ start, end, list }) => one.start < end && start < one.end && !(list && settled)))
      taken.push(one);
  }
  return taken.filter(({ list, counts, bits }) => !list && (counts > 0 || bits >= possible));
}

function withoutOverlap(tables: readonly DataTable[]): DataTable[] {
  const taken: DataTable[] = [];
  const rank = ({ score, counts }: DataTable) => rankOf({ counts, bits: score });
  for (const one of [...tables].sort((a, b) => rank(b) - rank(a))) {
    if (!taken.some(({ span }) => overlap(span, one.span))) taken.push(one);
  }
  return taken.sort((a, b) => a.span.start - b.span.start);
}

function placed(one: Candidate, base: number): DataTable {
  const { rows, columns, width, signed, order, counts, bits, axes, pointWidth } = one;
  const spanOf = (start: number, length: number): Span => ({ start: base + start, end: base + start + length });
  const columnsFirst = axes[0]?.points === columns;
  return {
    span: spanOf(one.start, one.end - one.start),
    rows,
    columns,
    width: width === 1 ? 8 : 16,
    signed,
    order,
    values: spanOf(one.values, one.end - one.values),
    axes: axes.map(({ start, points }, i) => ({
      what: (i === 0) === columnsFirst ? "columns" : "rows",
      points,
      width: pointWidth === 1 ? 8 : 16,
      span: spanOf(start, points * pointWidth),
    })),
    counts,
    score: bits,
    certainty: bits >= likely ? "likely" : "possible",
  };
}
