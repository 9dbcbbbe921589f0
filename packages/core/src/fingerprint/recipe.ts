import { type Digest, portableDigest } from "../algorithms/digest.js";
import { checkedSpan, lengthOf, type Span, subtract, totalLength } from "../bytes/span.js";
import { Stream } from "./stream.js";

/** Which bytes a fingerprint takes in: everything in `spans` but what is in `masked`, at absolute addresses. */
export interface Selection {
  readonly spans: readonly Span[];
  readonly masked: readonly Span[];
}

/** A selection in the one form that all selections of the same bytes share. */
export interface Recipe {
  /** The bytes taken in: sorted, disjoint, non-adjacent runs. */
  readonly covered: readonly Span[];
  /** The same as text: what the stream of every fingerprint of this recipe begins with. */
  readonly text: string;
  /** SHA-256 of the text, lower-case hex. */
  readonly digest: string;
}

/**
 * The recipe of `selection`. Only which bytes are taken in counts: how they were written down, in how many spans and
 * in what order, or whether a byte is masked or just outside, does not.
 * @throws RangeError when a span is not inside 0 to 2**32
 */
export function recipeOf({ spans, masked }: Selection, hashes: Digest = portableDigest): Recipe {
  for (const span of spans) checkedSpan(span);
  for (const span of masked) checkedSpan(span);
  const covered = subtract(spans, masked);
  const lines = covered.map((span) => `${span.start} ${lengthOf(span)}\n`);
  const text = `assay fingerprint 1\n${lines.join("")}content ${totalLength(covered)}\n`;
  const stream = new Stream(hashes);
  stream.addText(text);
  return { covered, text, digest: stream.digest() };
}
