import type { Unit } from "../unit/unit.js";
import type { Absence } from "./absence.js";
import { type Feed, isSpan } from "./feed.js";
import type { PlacedChecksum } from "./placed.js";

/** What keeps a checksum from being computed, or from meaning anything. */
export function obstacleOf({ algorithm, storedAt }: PlacedChecksum, feed: Feed, unit: Unit): Absence | undefined {
  if (feed.gaps.length > 0) return { kind: "gaps", spans: feed.gaps };
  if (feed.length === 0) return { kind: "nothing-covered" };
  const { multipleOf } = algorithm;
  if (feed.length % multipleOf !== 0) return { kind: "length", length: feed.length, multipleOf };
  const stored = storedAt && unit.image.read(storedAt);
  if (storedAt && !stored) return { kind: "stored-unknown", span: storedAt };
  const byte = stored && blankByte(feed, stored, unit);
  return byte === undefined ? undefined : { kind: "blank", byte };
}

/** The byte that all of it is, when all of it is one byte that stands for nothing: 00, FF or what erased memory reads as. */
function blankByte(feed: Feed, stored: Uint8Array, { image, profile }: Unit): number | undefined {
  const byte = stored[0];
  if (byte === undefined || (byte !== 0x00 && byte !== 0xff && byte !== profile.memory.erased)) return undefined;
  const allOf = (bytes: Uint8Array) => bytes.every((other) => other === byte);
  const known = feed.pieces.filter(isSpan).flatMap((span) => image.within(span));
  return allOf(stored) && known.every(({ bytes }) => allOf(bytes)) ? byte : undefined;
}
