import { heldBytes, heldShare, type SoundnessMeasures } from "../../soundness/measure.js";
import type { Symptom, SymptomCode } from "./symptom.js";

/** Bytes under a checksum that a fault of every byte cannot have left alone. */
const heldLeast = 1024;

/** Faults that alter every byte or every word alike: content that is intact anywhere contradicts them. */
const everywhere: ReadonlySet<SymptomCode> = new Set<SymptomCode>([
  "soundness/data-line-stuck",
  "soundness/data-lines-shorted",
  "soundness/data-line-doubtful",
  "soundness/data-lines-doubtful",
  "soundness/data-lines-exchanged",
  "soundness/high-bit-clear",
  "soundness/bytes-swapped",
  "soundness/bits-rearranged",
  "soundness/order-doubtful",
  "soundness/not-the-bytes",
  "soundness/only-text",
]);

/**
 * Whether checksums that hold contradict `symptom`. One about places is outweighed by any that cover all of them. One
 * about the whole image needs a checksum that sees the order of bytes: over some content when the fault would be
 * everywhere, else over nearly all of the image in one piece, for blocks can be intact and in the wrong place.
 */
export function isOutweighed({ code, reach, spans }: Symptom, measures: SoundnessMeasures): boolean {
  const { held, body } = measures;
  // Blank memory can fulfil a checksum.
  if (!body || held.length === 0 || code === "soundness/constant") return false;
  if (reach === "place" && spans.length > 0) {
    return spans.every((span) => heldBytes(measures, span) === span.end - span.start);
  }
  const ordered = held.filter((span) => span.ordered === true).map(({ start, end }) => end - start);
  if (everywhere.has(code)) return ordered.some((length) => length >= heldLeast);
  return ordered.some((length) => length >= heldShare * (body.end - body.start));
}
