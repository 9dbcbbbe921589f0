import { type Digest, portableDigest } from "../algorithms/digest.js";
import { type Span, totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { readableOf } from "./readable.js";
import { type Recipe, recipeOf, type Selection } from "./recipe.js";
import { Stream } from "./stream.js";

/** A part of a unit's memory, and what in it belongs to the single unit. */
export interface Masked extends Selection {
  readonly name: string;
  /** What an erased byte reads as, where holes in this part may be read as erased; null where they may not. */
  readonly erased: number | null;
}

/** What two fingerprints are compared by: the same recipe makes them comparable, then the digests decide. */
export interface Comparable {
  /** SHA-256 of the recipe, lower-case hex. */
  readonly recipe: string;
  /** SHA-256 of the recipe and the content, lower-case hex. */
  readonly digest: string;
}

/** The fingerprint of a part. */
export interface Fingerprint extends Comparable {
  readonly part: string;
  /** The digest's first 100 bits with a check character, to be read out or printed. */
  readonly readable: string;
  /** The bytes that went in, as sorted, disjoint runs. */
  readonly covered: readonly Span[];
  /** How many of them were holes, read as erased. */
  readonly filled: number;
}

/** A fingerprint, or why there is none: bytes that are not known, or a part in which every byte is masked. */
export type FingerprintResult =
  | { readonly kind: "computed"; readonly fingerprint: Fingerprint }
  | { readonly kind: "missing"; readonly part: string; readonly recipe: string; readonly missing: readonly Span[] }
  | { readonly kind: "nothing-covered"; readonly part: string };

/**
 * The fingerprint of `part` in `image`: byte for byte what docs/fingerprint.md specifies. A part of which no byte at
 * all is known was not erased, it was not read: it is missing whatever `erased` says. The cost grows with the bytes
 * that `part` covers, holes among them when they may be filled. A platform's own hash may be handed in for speed.
 * @throws RangeError when a span is not inside 0 to 2**32 or `erased` is not a byte
 */
export function fingerprintOf(image: Image, part: Masked, hashes: Digest = portableDigest): FingerprintResult {
  return fingerprintsOf(image, [part], hashes)[0] as FingerprintResult;
}

/**
 * The fingerprint of each of `parts`, as `fingerprintOf` gives it. Parts of the same bytes, such as the whole and the only
 * region in it, are hashed once.
 * @throws RangeError as `fingerprintOf`
 */
export function fingerprintsOf(
  image: Image,
  parts: readonly Masked[],
  hashes: Digest = portableDigest,
): readonly FingerprintResult[] {
  const known = new Map<string, string>();
  return parts.map((part) => resultOf(image, part, hashes, known));
}

/** `known` holds the digests so far by what they are of. */
function resultOf(image: Image, part: Masked, hashes: Digest, known: Map<string, string>): FingerprintResult {
  const { name, erased } = part;
  if (erased !== null && !(Number.isInteger(erased) && erased >= 0 && erased <= 0xff)) {
    throw new RangeError(`erased: expected null or a byte, got ${erased}`);
  }
  const recipe = recipeOf(part, hashes);
  if (recipe.covered.length === 0) return { kind: "nothing-covered", part: name };
  const gaps = recipe.covered.flatMap((span) => image.gaps(span));
  const filled = totalLength(gaps);
  if (filled > 0 && (erased === null || filled === totalLength(recipe.covered))) {
    return { kind: "missing", part: name, recipe: recipe.digest, missing: gaps };
  }
  const content = `${recipe.digest} ${erased}`;
  const digest = known.get(content) ?? digestOf(image, recipe, erased ?? 0, hashes);
  known.set(content, digest);
  const { covered } = recipe;
  return {
    kind: "computed",
    fingerprint: { part: name, recipe: recipe.digest, digest, readable: readableOf(digest), covered, filled },
  };
}

function digestOf(image: Image, { text, covered }: Recipe, fill: number, hashes: Digest): string {
  const stream = new Stream(hashes);
  stream.addText(text);
  for (const span of covered) stream.addSpan(image, span, fill);
  return stream.digest();
}

/** Whether two fingerprints are of the same content; `unknown` when they do not cover the same bytes. */
export function compareFingerprints(first: Comparable, second: Comparable): "same" | "different" | "unknown" {
  if (first.recipe !== second.recipe) return "unknown";
  return first.digest === second.digest ? "same" : "different";
}
