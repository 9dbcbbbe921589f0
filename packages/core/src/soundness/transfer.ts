import { isPrintable } from "../bytes/text.js";
import type { Census } from "./census.js";

/** A byte value that does not occur although its neighbours in value let expect it. */
export interface MissingValue {
  readonly value: number;
  /** Occurrences that would be expected at the very least. */
  readonly expected: number;
}

/** What text-mode transfers, editors and converters leave behind. */
export interface Transfer {
  readonly length: number;
  /** Line feeds (the first 65 536), those that a carriage return stands before, and how many chance alone would make. */
  readonly lineFeeds: number;
  readonly afterReturn: number;
  readonly returns: number;
  readonly pairsByChance: number;
  /** Bytes from 80 on; different values below. */
  readonly high: number;
  readonly distinctLow: number;
  /** Share of printable bytes, tabs and line ends. */
  readonly printable: number;
  /** Control characters that text does not use. */
  readonly controls: number;
  /** Bytes from 80 on that are part of well-formed UTF-8, and replacement characters among them. */
  readonly wellFormed: number;
  readonly replacements: number;
  readonly missing: readonly MissingValue[];
  readonly bom: "utf-8" | "utf-16" | undefined;
}

/** Values that text-mode lines, terminals and editors swallow or stop at. */
const swallowed: readonly number[] = [0x00, 0x0a, 0x0d, 0x11, 0x13, 0x1a, 0x1b];

/** Line feeds that are looked at: what all of so many have in common is no chance. */
const feedsLooked = 65_536;

/**
 * The traces of text handling in `bytes`. Shares are of `sample`, which the census is of; that a value or all values
 * from 80 on are absent is said of all bytes.
 */
export function measureTransfer(bytes: Uint8Array, sample: Uint8Array, census: Census): Transfer {
  const counts = census.bytes;
  const of = (value: number) => counts[value] as number;
  let printable = of(9) + of(10) + of(13);
  let controls = 0;
  let high = 0;
  let distinctLow = 0;
  for (let value = 0; value < 256; value++) {
    const count = of(value);
    if (isPrintable(value)) printable += count;
    if (value < 0x20 && ![9, 10, 12, 13].includes(value)) controls += count;
    if (value >= 0x80) high += count;
    else if (count > 0) distinctLow++;
  }
  const total = Math.max(1, 4 * census.words);
  if (high === 0 && sample !== bytes) high = countHigh(bytes);
  const feeds = countFeeds(bytes);
  return {
    length: bytes.length,
    lineFeeds: feeds.looked,
    afterReturn: feeds.pairs,
    returns: of(13),
    pairsByChance: (feeds.looked * of(13)) / total,
    high,
    distinctLow,
    printable: printable / total,
    controls,
    ...utf8Of(sample, high),
    missing: swallowed.flatMap((value) => (bytes.includes(value) ? [] : missingOf(value, counts))),
    bom: bomOf(bytes),
  };
}

function countFeeds(bytes: Uint8Array): { looked: number; pairs: number } {
  let looked = 0;
  let pairs = 0;
  for (let at = bytes.indexOf(10); at >= 0 && looked < feedsLooked; at = bytes.indexOf(10, at + 1)) {
    looked++;
    if (at > 0 && bytes[at - 1] === 13) pairs++;
  }
  return { looked, pairs };
}

function countHigh(bytes: Uint8Array): number {
  let high = 0;
  for (let i = 0; i < bytes.length; i++) high += (bytes[i] as number) >>> 7;
  return high;
}

/** A value that is absent, with a quarter of the middle one of its eight neighbours as the least to expect. */
function missingOf(value: number, counts: Uint32Array): MissingValue[] {
  if (counts[value] !== 0) return [];
  const neighbours: number[] = [];
  for (let other = Math.max(1, value - 4); neighbours.length < 8; other++) {
    if (other !== value && !swallowed.includes(other)) neighbours.push(counts[other] as number);
  }
  neighbours.sort((a, b) => a - b);
  return [{ value, expected: (neighbours[3] as number) / 4 }];
}

function utf8Of(bytes: Uint8Array, high: number): { wellFormed: number; replacements: number } {
  let wellFormed = 0;
  let replacements = 0;
  if (high === 0) return { wellFormed, replacements };
  // From so many on that are not, what is left cannot make it text any more.
  const most = Math.ceil(high / 16);
  let broken = 0;
  for (let i = 0; i < bytes.length && broken <= most; i++) {
    const first = bytes[i] as number;
    if (first < 0x80) continue;
    const length =
      first >= 0xc2 && first < 0xe0 ? 2 : first >= 0xe0 && first < 0xf0 ? 3 : first >= 0xf0 && first < 0xf5 ? 4 : 0;
    let good = length > 0 && i + length <= bytes.length;
    for (let k = 1; good && k < length; k++) good = ((bytes[i + k] as number) & 0xc0) === 0x80;
    if (!good) {
      broken++;
      continue;
    }
    if (first === 0xef && bytes[i + 1] === 0xbf && bytes[i + 2] === 0xbd) replacements++;
    wellFormed += length;
    i += length - 1;
  }
  return { wellFormed, replacements };
}

function bomOf(bytes: Uint8Array): Transfer["bom"] {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return "utf-8";
  const mark = (bytes[0] as number) * 256 + (bytes[1] as number);
  return mark === 0xfffe || mark === 0xfeff ? "utf-16" : undefined;
}
