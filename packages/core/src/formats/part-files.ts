import { Refusal } from "../findings/refusal.js";
import type { Decoded, Origin } from "./decoded.js";
import { type Arrangement, interleaved, joinedParts, placeInPart } from "./parts.js";
import { decodeRaw, type RawOptions } from "./raw.js";

/** How several part files make one memory. */
export interface PartsOptions extends RawOptions {
  readonly arrangement: Arrangement;
  /** Bytes that each part gives at a time when they are interleaved: 1 when left out, or 2. */
  readonly unit?: number | undefined;
}

/**
 * The image of a memory that was read in parts, put together first and laid out then. A part counts as its bytes: at
 * which address its own file puts them says nothing of the whole. What was seen in the parts is seen in the whole.
 * @throws Refusal when a part is empty or has holes, when the parts do not fit together, or for what `decodeRaw` refuses
 */
export function decodeParts(parts: readonly Decoded[], options: PartsOptions): Decoded {
  const { arrangement, unit = 1 } = options;
  const contents = parts.map(solidBytes);
  const whole = arrangement === "interleaved" ? interleaved(contents, unit) : joinedParts(contents);
  const decoded = decodeRaw(whole, options);
  const placeOf = (offset: number) =>
    arrangement === "interleaved" ? placeInPart(offset, parts.length, unit) : placeInJoined(offset, contents);
  return {
    ...decoded,
    findings: parts.flatMap(({ findings }) => findings),
    originOf: (address) => {
      const origin = decoded.originOf(address);
      return origin && originInPart(parts, placeOf(origin.offset));
    },
  };
}

/** The bytes of a part, which says nothing of a byte in a hole: where that one belongs would be a guess. */
function solidBytes({ image }: Decoded, index: number): Uint8Array {
  const [segment, ...others] = image.segments;
  if (segment && others.length === 0) return segment.bytes;
  const got = segment ? `${image.segments.length} spans` : "no data";
  throw new Refusal("file/part-not-whole", `part file ${index + 1}: expected bytes without a hole, got ${got}`);
}

function originInPart(parts: readonly Decoded[], place: { part: number; offset: number }): Origin | undefined {
  const part = parts[place.part] as Decoded;
  const origin = part.originOf((part.image.bounds?.start ?? 0) + place.offset);
  return origin && { ...origin, part: place.part };
}

function placeInJoined(offset: number, parts: readonly Uint8Array[]): { part: number; offset: number } {
  let rest = offset;
  let part = 0;
  while (rest >= (parts[part]?.length ?? Number.POSITIVE_INFINITY)) rest -= (parts[part++] as Uint8Array).length;
  return { part, offset: rest };
}
