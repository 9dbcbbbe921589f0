import { MEMORY_END } from "../bytes/span.js";
import { finding } from "../findings/catalogue.js";
import { Refusal } from "../findings/refusal.js";
import { Image } from "../image/image.js";
import type { Decoded, Origin } from "./decoded.js";
import { type LayoutName, offsetBefore, rearranged } from "./layout.js";
import { type Arrangement, interleaved, joinedParts, placeInPart } from "./parts.js";

/** How a raw file is to be taken. */
export interface RawOptions {
  /** The address of its first byte; 0 when left out. */
  readonly base?: number | undefined;
  /** How its bytes lie; as in the memory when left out. */
  readonly layout?: LayoutName | undefined;
}

/** How several raw files make one memory. */
export interface PartsOptions extends RawOptions {
  readonly arrangement: Arrangement;
  /** Bytes that each part gives at a time when they are interleaved: 1 when left out, or 2. */
  readonly unit?: number;
}

/**
 * The image of a raw file: its bytes one after the other from `base` on.
 * @throws Refusal when it would reach past 2**32, or is no whole number of the layout's words
 */
export function decodeRaw(bytes: Uint8Array, { base = 0, layout = "as-is" }: RawOptions = {}): Decoded {
  if (!Number.isSafeInteger(base) || base < 0 || base + bytes.length > MEMORY_END) {
    throw new Refusal(
      "file/base-too-high",
      `base address: expected one from which ${bytes.length} bytes end by 2**32, got ${base}`,
    );
  }
  const inside = (address: number) => address >= base && address < base + bytes.length;
  return {
    format: "raw",
    image: Image.of([{ address: base, bytes: rearranged(bytes, layout) }]),
    findings: bytes.length === 0 ? [finding("file/empty", { format: "raw" })] : [],
    originOf: (address) => (inside(address) ? { offset: offsetBefore(address - base, layout) } : undefined),
  };
}

/**
 * The image of a memory that was read in parts, put together first and laid out then.
 * @throws Refusal when the parts do not fit together, or for what `decodeRaw` refuses
 */
export function decodeParts(parts: readonly Uint8Array[], options: PartsOptions): Decoded {
  const { arrangement, unit = 1 } = options;
  const whole = arrangement === "interleaved" ? interleaved(parts, unit) : joinedParts(parts);
  const decoded = decodeRaw(whole, options);
  const originIn = (offset: number): Origin =>
    arrangement === "interleaved" ? placeInPart(offset, parts.length, unit) : placeInJoined(offset, parts);
  return {
    ...decoded,
    originOf: (address) => {
      const origin = decoded.originOf(address);
      return origin && originIn(origin.offset);
    },
  };
}

function placeInJoined(offset: number, parts: readonly Uint8Array[]): Origin {
  let rest = offset;
  let part = 0;
  while (rest >= (parts[part]?.length ?? Number.POSITIVE_INFINITY)) rest -= (parts[part++] as Uint8Array).length;
  return { part, offset: rest };
}
