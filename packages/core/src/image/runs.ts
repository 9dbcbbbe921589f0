/**
 * What a builder has written, as a table of runs in the order of the file, and the same as pieces of memory in the
 * order of addresses. Both are plain words: a million runs of one byte must not cost a million objects.
 */

/** The runs of a builder. Four words each: address, first index in the written bytes, position in the file, line. */
export interface Runs {
  readonly words: Uint32Array;
  readonly count: number;
  /** How many bytes all of them hold. */
  readonly used: number;
}

/** Sorted, disjoint pieces of memory, each taken from one run. They may touch. */
export interface Pieces {
  readonly count: number;
  readonly starts: Uint32Array;
  readonly lengths: Uint32Array;
  /** The run that each was taken from. */
  readonly sources: Uint32Array;
}

/** The address at which run `index` starts. */
export function runStart(runs: Runs, index: number): number {
  return runs.words[4 * index] as number;
}

/** Where in the written bytes those of run `index` start. */
export function runFrom(runs: Runs, index: number): number {
  return runs.words[4 * index + 1] as number;
}

/** One past the last address of run `index`. Up to 2**32. */
export function runEnd(runs: Runs, index: number): number {
  const to = index + 1 < runs.count ? runFrom(runs, index + 1) : runs.used;
  return runStart(runs, index) + to - runFrom(runs, index);
}

/** Where in the written bytes piece `index` starts. */
export function pieceFrom(runs: Runs, pieces: Pieces, index: number): number {
  const source = pieces.sources[index] as number;
  return runFrom(runs, source) + (pieces.starts[index] as number) - runStart(runs, source);
}

/** Room for `capacity` pieces, to be filled from the front. */
export function roomForPieces(capacity: number): Pieces {
  return {
    count: 0,
    starts: new Uint32Array(capacity),
    lengths: new Uint32Array(capacity),
    sources: new Uint32Array(capacity),
  };
}

/** The runs as pieces, or undefined when two of them share an address. `ascending`: they are known to be sorted. */
export function runsAsPieces(runs: Runs, ascending: boolean): Pieces | undefined {
  const { starts, lengths, sources } = roomForPieces(runs.count);
  for (let i = 0; i < runs.count; i++) sources[i] = i;
  if (!ascending) sources.sort((a, b) => runStart(runs, a) - runStart(runs, b));
  let end = 0;
  for (let i = 0; i < runs.count; i++) {
    const source = sources[i] as number;
    const start = runStart(runs, source);
    if (start < end) return undefined;
    end = runEnd(runs, source);
    starts[i] = start;
    lengths[i] = end - start;
  }
  return { count: runs.count, starts, lengths, sources };
}

/** The piece that holds `address`, or undefined. */
export function pieceAt(pieces: Pieces, address: number): number | undefined {
  let low = 0;
  let high = pieces.count;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((pieces.starts[middle] as number) <= address) low = middle + 1;
    else high = middle;
  }
  const index = low - 1;
  if (index < 0 || address >= (pieces.starts[index] as number) + (pieces.lengths[index] as number)) return undefined;
  return index;
}
