import type { AlgorithmChoice } from "../algorithms/algorithm.js";
import type { ByteOrder } from "../bytes/word.js";

/** How a stored value relates to what the algorithm gives. */
export type SimpleForm = "value" | "complement" | "negated";

/** One way to use a family: an algorithm, and the form in which its value is stored. */
export interface Variant {
  readonly algorithm: AlgorithmChoice;
  readonly form: SimpleForm;
  /** How unusual it is within its family: minus the logarithm to base 2 of its share of the belief. */
  readonly bits: number;
  /** What the register holds before the first byte, as the family's keys take it. */
  readonly init: number;
  /** The value as the family's keys give it, for what is stored; and back. */
  toRaw(stored: number): number;
  toStored(raw: number): number;
}

/**
 * Algorithms that share one prefix: the value of a range comes from two numbers, one kept at its start and one at its
 * end, so that a range costs next to nothing and both ends can be found by looking one number up.
 */
export interface Family {
  readonly name: string;
  readonly kind: "crc" | "add" | "xor";
  /** Bits of the value. */
  readonly width: 8 | 16 | 24 | 32;
  /** Ranges begin and end at multiples of so many bytes. */
  readonly step: 1 | 2 | 4;
  /** Minus the logarithm to base 2 of its share of the belief among all families. */
  readonly bits: number;
  readonly variants: readonly Variant[];
  /** What can be looked up: the start for an end and a value, also the end for a start and a value, or neither. */
  readonly joins: "both" | "after" | "none";
  /** The byte order of the words that are added up, when they are as wide as the value. */
  readonly order?: ByteOrder;
  /** What is added up, for sums modulo a power of two: with the same, the lower bits of the wider sum are the narrower one. */
  readonly sums?: string;
  /** Whether equal keys are all that makes a range come out right, or only what has to be. */
  readonly decides: boolean;
  /** Whether bytes in the midst of a range can be taken as zeros by its keys alone; if not, by its value. */
  readonly linear: boolean;
  /** The bits that the value of a range of so many bytes really has: a sum of few bytes never fills a wide register. */
  bitsOfValue(length: number): number;
  keysOf(content: Uint8Array, offsets: Int32Array): Keys;
}

/** What a family keeps of one content at sorted offsets. Offsets are named by their index. */
export interface Keys {
  /** The key of each offset as a start. */
  starts(init: number): Int32Array;
  /** The key that a start must have for a range to each of `ends` to give the raw value there that `raws` has in its place. */
  wantedStarts(raws: Int32Array, ends: Int32Array): Int32Array;
  /** What it adds to the key that a start must have, at each offset as an end, when a constant is added to the value there. */
  scaled?(constant: number): Int32Array;
  /** The key that a start must have for a range to one offset to give `raw` there. */
  wantedStart(end: number, raw: number): number;
  /** The key that an end must have for a range from each of `starts` to give `raws`. */
  wantedEnds?(raws: Int32Array, starts: Int32Array): Int32Array;
  /** The key of each offset as an end, where ends can be looked up. */
  ends?(): Int32Array;
  /** The value of a range. */
  value(start: number, end: number, init: number): number;
  /** The values of the ranges from `starts[0]` to `starts[count - 1]` to `end`, by the keys of those starts. */
  valuesTo(end: number, starts: Int32Array, startKeys: Int32Array, count: number, values: Int32Array): void;
  /** The key of a start when the bytes between two offsets behind it are taken as zeros. */
  zeroed?(startKey: number, from: number, to: number): number;
  /** The value of a range to `end` when the bytes between two offsets in it are taken as zeros, where keys do not tell. */
  emptied?(value: number, from: number, to: number, end: number): number;
  /** As `zeroed`, when those bytes are left out. */
  leftOut?(startKey: number, from: number, to: number): number;
  /** The key of the start that `zeroed` or `leftOut` makes `moved` of, or that a range emptied between two offsets has. */
  unmoved(moved: number, from: number, to: number, counted: "zeros" | "left-out"): number;
}

/** `value` as an unsigned number of `width` bits in an Int32. */
export function masked(value: number, width: number): number {
  return width === 32 ? value | 0 : value & (2 ** width - 1);
}
