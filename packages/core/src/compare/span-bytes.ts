import { common, type Span, totalLength } from "../bytes/span.js";
import { concernsOwner, isNeverShown } from "../profile/schema/field.js";
import { ownedRoles } from "../profile/schema/region.js";
import type { Unit } from "../unit/unit.js";

/** Bytes shown in a finding at the most: enough to recognise a value. */
export const shownBytes = 16;

/**
 * The bytes of several spans one behind the other, or undefined when one is not known or they are more than the image has.
 * They may be a view of the image and must not be written to.
 */
export function bytesOf(unit: Unit, spans: readonly Span[]): Uint8Array | undefined {
  const [only, ...more] = spans;
  if (only && more.length === 0) return unit.image.read(only);
  const length = totalLength(spans);
  if (length > unit.image.length) return undefined;
  const bytes = new Uint8Array(length);
  let at = 0;
  for (const span of spans) {
    const part = unit.image.read(span);
    if (!part) return undefined;
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

/** Whether no byte of `spans` is an owner's or of an immobiliser: such content is shown to nobody. */
export function isForShowing(unit: Unit, spans: readonly Span[]): boolean {
  const owned = [
    ...unit.regions.flatMap(({ role, spans: own }) => (ownedRoles.includes(role) ? own : [])),
    ...unit.fields.flatMap((reading) =>
      "span" in reading && (isNeverShown(reading.field) || concernsOwner(reading.field)) ? [reading.span] : [],
    ),
  ];
  return common(owned, spans).length === 0;
}

/** Hex as a finding shows it. */
export function shortenedHex(hex: string): string {
  return hex.length > 2 * shownBytes ? `${hex.slice(0, 2 * shownBytes)}...` : hex;
}
