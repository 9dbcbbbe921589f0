import type { ByteOrder } from "../bytes/word.js";

/** Where the value of a range stands. */
export type Place = "after" | "before" | "inside" | "apart" | "described" | "whole";

/** A range that comes out right, as the search finds it: plain data, so that it can pass between threads. */
export interface Hit {
  /** Which ground, family and variant, by index. */
  readonly ground: number;
  readonly family: number;
  readonly variant: number;
  readonly order: ByteOrder;
  readonly place: Place;
  /** Offsets in the ground. */
  readonly start: number;
  readonly end: number;
  readonly stored: number;
  /** How the value counts where it stands inside the range. */
  readonly counted?: "zeros" | "left-out";
  /** Whether the value's complement stands beside it. */
  readonly complemented: boolean;
  /** With `whole`: what the range comes to. */
  readonly constant?: number;
  /** The offset of the words in the image itself that describe the range. */
  readonly descriptor?: number;
  /** How unusual the algorithm, byte order and kind of place are. */
  readonly schemeBits: number;
  /** How unusual the range is, and the place within its kind. */
  readonly rangeBits: number;
  /** What of `rangeBits` is for the place. */
  readonly withinBits: number;
  /** The kind of range, and what of `rangeBits` is for the kind alone. */
  readonly kind: string;
  readonly kindBits: number;
  /** How many bits agree that need not. */
  readonly evidence: number;
}
