import { type Span, totalLength } from "../bytes/span.js";
import type { Unit } from "../unit/unit.js";

/** Bytes shown in a finding at the most: enough to recognise a value. */
export const shownBytes = 16;

/** The bytes of several spans one behind the other, or undefined when one is not known. */
export function bytesOf(unit: Unit, spans: readonly Span[]): Uint8Array | undefined {
  const bytes = new Uint8Array(totalLength(spans));
  let at = 0;
  for (const span of spans) {
    const part = unit.image.read(span);
    if (!part) return undefined;
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

/** Hex as a finding shows it. */
export function shortenedHex(hex: string): string {
  return hex.length > 2 * shownBytes ? `${hex.slice(0, 2 * shownBytes)}...` : hex;
}
