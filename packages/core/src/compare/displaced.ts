import { occurrences } from "../bytes/occurrences.js";
import { MEMORY_END, type Span } from "../bytes/span.js";
import type { Image } from "../image/image.js";

/** Pieces of the left image that are looked for in the right one, and how many must lie equally far away. */
const pieces = 16;
const agreeing = 3;
/** Bytes of a piece, and how many values they must hold. */
const pieceLength = 32;
const values = 12;
/** Bytes that are gone through in all. */
const effort = 2 ** 28;

/**
 * The image `left` moved so far that pieces of it lie where the right one has them, each there once, and how far (down
 * when negative); undefined when too few of them agree, or when they lie where they are.
 */
export function displaced(left: Image, right: Image): { readonly by: number; readonly moved: Image } | undefined {
  const count = Math.min(pieces, Math.floor(effort / Math.max(1, right.length)));
  const votes = new Map<number, number>();
  for (const { start, end } of places(left, count)) {
    const wanted = left.read({ start, end });
    if (!wanted || new Set(wanted).size < values) continue;
    const place = onlyPlace(right, wanted);
    if (place !== undefined) votes.set(place - start, (votes.get(place - start) ?? 0) + 1);
  }
  const [best] = [...votes].sort(([, a], [, b]) => b - a);
  if (!best || best[0] === 0 || best[1] < agreeing) return undefined;
  const [by] = best;
  const kept = { start: Math.max(0, -by), end: Math.min(MEMORY_END, MEMORY_END - by) };
  return { by, moved: left.slice(kept).movedBy(by) };
}

/** `count` places, spread evenly over what is known. */
function places(image: Image, count: number): readonly Span[] {
  const each = image.length / count;
  const found: Span[] = [];
  let before = 0;
  for (const { address, bytes } of image.segments) {
    while (found.length < count && (found.length + 0.5) * each < before + bytes.length) {
      const start = address + Math.floor((found.length + 0.5) * each) - before;
      found.push({ start, end: Math.min(MEMORY_END, start + pieceLength) });
    }
    before += bytes.length;
  }
  return found;
}

/** Where `wanted` stands; undefined where that is nowhere, or in two places. */
function onlyPlace(image: Image, wanted: Uint8Array): number | undefined {
  let place: number | undefined;
  for (const { address, bytes } of image.segments) {
    for (const at of occurrences(bytes, wanted)) {
      if (place !== undefined) return undefined;
      place = address + at;
    }
  }
  return place;
}
