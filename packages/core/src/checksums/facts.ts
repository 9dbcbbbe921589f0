import type { AlgorithmKind } from "../algorithms/algorithm.js";
import type { Span } from "../bytes/span.js";
import type { Absence } from "./absence.js";

/** A checksum of the profile in one image: whether what is stored is what comes out. Nothing in it is judged. */
export interface ChecksumFacts {
  /** The profile's name for it; with `-1`, `-2` and so on behind it when it repeats. */
  readonly name: string;
  /** The profile's rule that it comes from: the same name without the number. */
  readonly rule: string;
  /** The algorithm's canonical name. */
  readonly algorithm: string;
  readonly kind: AlgorithmKind;
  /** In bits. */
  readonly width: number;
  /** Whether the value depends on the order of the bytes. */
  readonly ordered: boolean;
  readonly status: "holds" | "fails" | "absent";
  /**
   * The stored value in its own byte order, as hex; a value and its complement one after the other. Where `storedAt` is
   * left out, and the profile states the value, that one.
   */
  readonly stored?: string;
  /** What would have to be stored there for it to hold, in the same form; left out when it cannot be told. */
  readonly computed?: string;
  /** Where the whole is to come to a constant: what it comes to, and to what it should. */
  readonly whole?: { readonly value: string; readonly constant: string };
  /** The bytes of the image that go into it, in that order. The stored value is among them only when it goes into it. */
  readonly covered: readonly Span[];
  readonly storedAt?: Span;
  /** Whether the value is stated outside of the image. */
  readonly stated?: true;
  /** Why it is absent. */
  readonly absence?: Absence;
}

/** Bits of a value that proves something: one of fewer is met by chance too often. */
export const tellingWidth = 16;

/** What a checksum speaks of: the bytes that go into it, and behind them its stored value. */
export function spansOf({ covered, storedAt }: Pick<ChecksumFacts, "covered" | "storedAt">): readonly Span[] {
  return storedAt ? [...covered, storedAt] : covered;
}
