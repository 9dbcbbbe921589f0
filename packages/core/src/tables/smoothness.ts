import { isList } from "./list.js";

/** How much nearer to each other the neighbours in a table are than any two of its values. */
export interface Smoothness {
  /** How improbable that is when the values are shuffled, in bits. */
  readonly bits: number;
  /** Whether nothing shows where its rows end. */
  readonly list: boolean;
}

/** Neighbours must be nearer than this part of what shuffling gives, in rows and in columns. */
const nearest = 0.5;
/** Values that a table holds: not only a handful of different ones, */
const fewestDifferent = 4;
/** and not one of them nearly everywhere. */
const commonestShare = 0.6;
/** Spread of the difference of two shuffled values, as a part of its mean; of evenly spread values it is 0.71. */
const spread = 0.75;

/** The most that `count` values as rows of `columns` can come to, in bits. */
export function mostBitsOf(count: number, columns: number): number {
  return bitsOf(0, count - count / columns) + bitsOf(0, count - columns);
}

/** What it says that `pairs` of neighbours differ by `share` of what shuffled ones do. */
function bitsOf(share: number, pairs: number): number {
  const deviations = ((1 - share) * Math.sqrt(pairs)) / spread;
  return (deviations * deviations) / 2 / Math.LN2;
}

/** As many values as the largest table has. */
const scratch = new Uint16Array(1024);

/**
 * The smoothness of `count` values from `from` on as rows of `columns`; undefined when they are no smooth table. `turned` is
 * what is added to a value, without carry, so that it counts with a sign.
 */
export function smoothnessOf(
  values: Uint16Array,
  from: number,
  count: number,
  columns: number,
  turned: number,
): Smoothness | undefined {
  if (from < 0 || from + count > values.length) return undefined;
  let alongRows = 0;
  let alongColumns = 0;
  let least = 0xffff;
  let most = 0;
  let column = 0;
  for (let i = 0; i < count; i++) {
    const value = (values[from + i] as number) ^ turned;
    scratch[i] = value;
    if (value < least) least = value;
    if (value > most) most = value;
    if (column > 0) alongRows += Math.abs(value - (scratch[i - 1] as number));
    if (i >= columns) alongColumns += Math.abs(value - (scratch[i - columns] as number));
    if (++column === columns) column = 0;
  }
  const [inRows, inColumns] = [count - count / columns, count - columns];
  // Any two values differ by half of their range at most in the mean: what is beyond that needs no closer look.
  const widest = (nearest * (most - least) * count) / (count - 1) / 2;
  if (alongRows > widest * inRows || alongColumns > widest * inColumns) return undefined;
  const read = scratch.subarray(0, count);
  const any = meanDifference(read, least, most);
  const rowShare = alongRows / inRows / any;
  const columnShare = inColumns === 0 ? 0 : alongColumns / inColumns / any;
  if (!(rowShare <= nearest && columnShare <= nearest)) return undefined;
  const list = inColumns > 0 && isList(read, columns);
  if (!isVaried(read.sort())) return undefined;
  return { bits: bitsOf(rowShare, inRows) + bitsOf(columnShare, inColumns), list };
}

/** Classes that values are counted in. */
const classes = 64;
const counts = new Uint32Array(classes);

/** Mean difference of any two of `values` from `least` to `most`, as if each were in the middle of its class. */
function meanDifference(values: Uint16Array, least: number, most: number): number {
  const step = (most - least + 1) / classes;
  counts.fill(0);
  for (let i = 0; i < values.length; i++) {
    const one = Math.floor(((values[i] as number) - least) / step);
    counts[one] = (counts[one] as number) + 1;
  }
  let below = 0;
  let total = 0;
  for (let i = 0; i < classes - 1; i++) {
    below += counts[i] as number;
    total += below * (values.length - below);
  }
  return (2 * total * step) / (values.length * (values.length - 1));
}

function isVaried(sorted: Uint16Array): boolean {
  let different = 0;
  let longest = 0;
  let run = 0;
  for (let i = 0; i < sorted.length; i++) {
    if (i > 0 && sorted[i] === sorted[i - 1]) run++;
    else {
      different++;
      run = 1;
    }
    if (run > longest) longest = run;
  }
  return different >= fewestDifferent && longest <= commonestShare * sorted.length;
}
