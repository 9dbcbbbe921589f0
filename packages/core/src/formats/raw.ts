import { MEMORY_END } from "../bytes/span.js";
import { finding } from "../findings/catalogue.js";
import { Refusal } from "../findings/refusal.js";
import { Image } from "../image/image.js";
import type { Decoded } from "./decoded.js";

/**
 * The image of a raw file: its bytes one after the other from `base` on.
 * @throws Refusal when it would reach past 2**32
 */
export function decodeRaw(bytes: Uint8Array, base = 0): Decoded {
  if (!Number.isSafeInteger(base) || base < 0 || base + bytes.length > MEMORY_END) {
    throw new Refusal(
      "file/base-too-high",
      `base address: expected the file's ${bytes.length} bytes to end by 2**32, got a base of ${base}`,
    );
  }
  const inside = (address: number) => address >= base && address < base + bytes.length;
  return {
    format: "raw",
    image: Image.of([{ address: base, bytes }]),
    findings: bytes.length === 0 ? [finding("file/empty", { format: "raw" })] : [],
    originOf: (address) => (inside(address) ? { offset: address - base } : undefined),
  };
}
