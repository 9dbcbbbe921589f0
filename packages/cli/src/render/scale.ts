import type { Run } from "./numbers.js";

/** Addresses laid out on columns. */
export interface Scale {
  readonly bounds: Run;
  /** Whether a stretch without content was drawn shorter than it is. */
  readonly broken: boolean;
  /** One cell a column, each `sign`, with `:` where a stretch was left out. */
  blank(sign: string): string[];
  /** The columns that a run lies on, both inside; undefined when it lies on none. */
  columnsOf(run: Run): { readonly first: number; readonly last: number } | undefined;
}

interface Stretch {
  readonly start: number;
  readonly end: number;
  readonly leftOut: boolean;
  first: number;
  columns: number;
}

/** A stretch of which nothing is known is left out when it is this many times larger than all the rest together. */
const leftOutFrom = 2;

/**
 * The scale on which all of `drawn` fit into `columns`: true to size but for what is too small to be seen, which gets
 * one column, and for wide stretches in which nothing is `known`. Undefined when there is nothing to draw.
 */
export function scaleOf(drawn: readonly Run[], known: readonly Run[], columns: number): Scale | undefined {
  const runs = drawn.filter(({ length }) => length > 0);
  const cuts = [...new Set(runs.flatMap(({ start, length }) => [start, start + length]))].sort((a, b) => a - b);
  const [from, to] = [cuts[0], cuts.at(-1)];
  if (from === undefined || to === undefined) return undefined;
  const stretches = stretchesOf(cuts, runs, known);
  // With more borders than columns the small ones cannot all be seen: one even scale is truer then.
  const parts = stretches.length <= columns / 2 ? stretches : [even(from, to)];
  distribute(parts, columns);
  return {
    bounds: { start: from, length: to - from },
    broken: parts.some(({ leftOut }) => leftOut),
    blank: (sign) => parts.flatMap(({ leftOut, columns: count }) => Array<string>(count).fill(leftOut ? ":" : sign)),
    columnsOf: ({ start, length }) => columnsIn(parts, start, start + Math.max(1, length)),
  };
}

function even(start: number, end: number): Stretch {
  return { start, end, leftOut: false, first: 0, columns: 0 };
}

function stretchesOf(cuts: readonly number[], drawn: readonly Run[], known: readonly Run[]): Stretch[] {
  const stretches = cuts.slice(1).map((end, i) => even(cuts[i] as number, end));
  const holds = ({ start, end }: Stretch, runs: readonly Run[]) =>
    runs.some((run) => run.start < end && start < run.start + run.length);
  // Regions and files are few where this is drawn to borders; the even scale needs none of it.
  if (stretches.length > 500) return stretches;
  const filled = stretches.reduce((sum, one) => sum + (holds(one, drawn) ? one.end - one.start : 0), 0);
  return stretches.map((one) => ({
    ...one,
    leftOut: !holds(one, drawn) && !holds(one, known) && one.end - one.start > leftOutFrom * filled,
  }));
}

/** Gives every part its columns: one to each, the others by size, the last remainder to the largest fractions. */
function distribute(parts: readonly Stretch[], columns: number): void {
  const sized = parts.filter(({ leftOut }) => !leftOut);
  const total = sized.reduce((sum, { start, end }) => sum + end - start, 0);
  const free = columns - parts.length;
  const shares = sized.map((part) => ({ part, share: (free * (part.end - part.start)) / total }));
  for (const part of parts) part.columns = 1;
  for (const { part, share } of shares) part.columns += Math.floor(share);
  let rest = free - shares.reduce((sum, { share }) => sum + Math.floor(share), 0);
  for (const { part } of shares.sort((a, b) => (b.share % 1) - (a.share % 1))) {
    if (rest-- <= 0) break;
    part.columns++;
  }
  let first = 0;
  for (const part of parts) {
    part.first = first;
    first += part.columns;
  }
}

function columnsIn(parts: readonly Stretch[], start: number, end: number) {
  const touched = parts.filter((part) => part.start < end && start < part.end);
  const [head, tail] = [touched[0], touched.at(-1)];
  if (!head || !tail) return undefined;
  const column = (part: Stretch, address: number) =>
    part.first +
    Math.min(part.columns - 1, Math.floor(((address - part.start) / (part.end - part.start)) * part.columns));
  return { first: column(head, Math.max(start, head.start)), last: column(tail, Math.min(end, tail.end) - 1) };
}
