import { MEMORY_END } from "../bytes/span.js";
import { finding } from "../findings/catalogue.js";
import { Refusal } from "../findings/refusal.js";
import { Image } from "../image/image.js";
import type { Decoded } from "./decoded.js";
import { type LayoutName, offsetBefore, rearranged } from "./layout.js";

/** How a raw file is to be taken. */
export interface RawOptions {
  /** The address of its first byte; 0 when left out. */
  readonly base?: number | undefined;
  /** How its bytes lie; as in the memory when left out. */
  readonly layout?: LayoutName | undefined;
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
