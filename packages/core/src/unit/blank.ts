import { type Span, totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import type { Unit } from "./unit.js";

/** Whether every byte of `spans` is known and reads as erased memory; false when nobody says what that reads as. */
export function isErased(unit: Pick<Unit, "image" | "profile">, spans: readonly Span[]): boolean {
  const { erased } = unit.profile.memory;
  return erased !== undefined && oneByteOf(unit, spans) === erased;
}

/** The one byte that all of `spans` is, in full; undefined when there are two, or some are not known. */
export function oneByteOf({ image }: Pick<Unit, "image">, spans: readonly Span[]): number | undefined {
  const parts = spans.flatMap((span) => image.within(span));
  const first = parts[0]?.bytes[0];
  const known = parts.reduce((sum, { bytes }) => sum + bytes.length, 0);
  return known === totalLength(spans) && parts.every(({ bytes }) => bytes.every((byte) => byte === first))
    ? first
    : undefined;
}

/** How many known bytes of `spans` do not read as erased memory, and their first run; all, where `erased` is not known. */
export function writtenIn(image: Image, spans: readonly Span[], erased: number | undefined) {
  let written = 0;
  let first: Span | undefined;
  for (const { address, bytes } of spans.flatMap((span) => image.within(span))) {
    for (let i = 0; i < bytes.length; i++) {
      if (bytes[i] === erased) continue;
      written++;
      if (!first) first = { start: address + i, end: address + endOfRun(bytes, i, erased) };
    }
  }
  return { bytes: written, first };
}

function endOfRun(bytes: Uint8Array, from: number, erased: number | undefined): number {
  let end = from;
  while (end < bytes.length && bytes[end] !== erased) end++;
  return end;
}
