import type { Accelerators } from "../algorithms/algorithm.js";
import { common, MEMORY_END, normalised, type Span, subtract } from "../bytes/span.js";
import type { Image } from "./image.js";

/** Where two images differ. */
export interface Difference {
  /** Where both are known and unequal: sorted, disjoint, never adjacent. At most `runLimit`. */
  readonly runs: readonly Span[];
  /** The unequal bytes, counted over everything. */
  readonly bytes: number;
  /** What both know from the first run that is not listed on, equal bytes and all; empty when all runs are listed. */
  readonly rest: readonly Span[];
  /** Addresses that both know, counted. */
  readonly compared: number;
  /** Known in one of them only. */
  readonly onlyFirst: readonly Span[];
  readonly onlySecond: readonly Span[];
}

/** The most runs that are listed: beyond it two images have nothing in common, and a list helps nobody. */
export const runLimit = 100_000;

const blockSize = 64 * 1024;

/** Where both are known and may differ: the listed runs, and what the list has no room for. Sorted and disjoint. */
export function differingSpans({ runs, rest }: Pick<Difference, "runs" | "rest">): readonly Span[] {
  return rest.length > 0 ? [...runs, ...rest] : runs;
}

/**
 * The same, and every run by itself outside of `apart`, where a difference means nothing: what fills the list there is not
 * to hide that the rest is equal.
 */
export function differingSpansBut(
  apart: readonly Span[],
  difference: Difference,
  first: Image,
  second: Image,
  accelerators: Pick<Accelerators, "equal"> = {},
): readonly Span[] {
  if (difference.rest.length === 0) return difference.runs;
  const others = differenceOf(first.without(apart), second.without(apart), accelerators);
  return normalised([...common(differingSpans(difference), apart), ...differingSpans(others)]);
}

/** Whether two images know the same addresses and hold the same there. */
export function alike({ bytes, onlyFirst, onlySecond }: Difference): boolean {
  return bytes === 0 && onlyFirst.length === 0 && onlySecond.length === 0;
}

/** Where `first` and `second` differ, found in one pass over what both know. */
export function differenceOf(first: Image, second: Image, { equal }: Pick<Accelerators, "equal"> = {}): Difference {
  const shared = common(first.spans, second.spans);
  const collector = new RunCollector();
  let compared = 0;
  for (const span of shared) {
    const a = first.read(span) as Uint8Array;
    const b = second.read(span) as Uint8Array;
    compared += a.length;
    compareBytes(a, b, span.start, collector, equal);
  }
  const { runs, bytes, unlistedFrom } = collector;
  return {
    runs,
    bytes,
    rest: unlistedFrom === undefined ? [] : common([{ start: unlistedFrom, end: MEMORY_END }], shared),
    compared,
    onlyFirst: subtract(first.spans, second.spans),
    onlySecond: subtract(second.spans, first.spans),
  };
}

class RunCollector {
  readonly runs: Span[] = [];
  bytes = 0;
  unlistedFrom: number | undefined;
  #start = -1;
  #end = -1;

  /** The bytes from `start` to `end` differ. Calls come in address order. */
  add(start: number, end: number): void {
    this.bytes += end - start;
    if (start === this.#end) {
      this.#end = end;
      return;
    }
    this.close();
    this.#start = start;
    this.#end = end;
  }

  close(): void {
    if (this.#start < 0) return;
    if (this.runs.length < runLimit) this.runs.push({ start: this.#start, end: this.#end });
    else this.unlistedFrom ??= this.#start;
    this.#start = -1;
  }
}

/**
 * Equal stretches are skipped 32 bits at a time. Views of whole words need aligned arrays; others are compared through
 * an aligned copy of one block after the other, which costs less than looking at single bytes.
 */
function compareBytes(
  a: Uint8Array,
  b: Uint8Array,
  address: number,
  collector: RunCollector,
  equal: Accelerators["equal"],
): void {
  const aligned = a.byteOffset % 4 === 0 && b.byteOffset % 4 === 0;
  const copyOfA = aligned ? undefined : new Uint8Array(blockSize);
  const copyOfB = aligned ? undefined : new Uint8Array(blockSize);
  for (let from = 0; from < a.length; from += blockSize) {
    const length = Math.min(blockSize, a.length - from);
    const blockA = a.subarray(from, from + length);
    const blockB = b.subarray(from, from + length);
    if (equal?.(blockA, blockB)) continue;
    if (copyOfA && copyOfB) {
      copyOfA.set(blockA);
      copyOfB.set(blockB);
      compareBlock(copyOfA.subarray(0, length), copyOfB.subarray(0, length), address + from, collector);
    } else compareBlock(blockA, blockB, address + from, collector);
  }
  collector.close();
}

function compareBlock(a: Uint8Array, b: Uint8Array, address: number, collector: RunCollector): void {
  const words = a.length >>> 2;
  const wordsOfA = new Int32Array(a.buffer, a.byteOffset, words);
  const wordsOfB = new Int32Array(b.buffer, b.byteOffset, words);
  for (let i = 0; i < words; i++) {
    if (wordsOfA[i] !== wordsOfB[i]) differingBytes(a, b, 4 * i, 4 * i + 4, address, collector);
  }
  differingBytes(a, b, 4 * words, a.length, address, collector);
}

function differingBytes(
  a: Uint8Array,
  b: Uint8Array,
  from: number,
  to: number,
  address: number,
  collector: RunCollector,
): void {
  for (let i = from; i < to; i++) if (a[i] !== b[i]) collector.add(address + i, address + i + 1);
}
