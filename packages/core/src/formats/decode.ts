import { algorithmOf } from "../algorithms/algorithm.js";
import { finding } from "../findings/catalogue.js";
import { Refusal } from "../findings/refusal.js";
import { packedAs, type Unpacked, unpack } from "./container.js";
import type { Decoded, FormatName } from "./decoded.js";
import { detectFormat } from "./detect.js";
import { decodeIntelHex } from "./intel-hex.js";
import { type LayoutName, offsetBefore, rearranged } from "./layout.js";
import { decodeRaw } from "./raw.js";
import { decodeSRecord } from "./s-record.js";

/** What is known of a file beside its bytes. */
export interface DecodeOptions {
  /** `auto` looks at the content. */
  readonly format?: FormatName | "auto";
  /** Where a raw file begins. */
  readonly base?: number | undefined;
  /** How the bytes of a raw file lie. */
  readonly layout?: LayoutName | undefined;
  /** The most bytes that a packed file may hold. */
  readonly limit?: number;
}

/** The most bytes that come out of a packed file when nobody says otherwise. */
export const UNPACKED_LIMIT = 256 * 1024 * 1024;

/**
 * The image that a file describes, and what was seen on the way. A gzip file, or a zip archive of one file, is opened.
 * @throws Refusal for a packed file that cannot be opened, and for a base or layout that does not fit
 */
export function decode(file: Uint8Array, options: DecodeOptions = {}): Decoded {
  const packed = packedAs(file);
  if (!packed) return decodePlain(file, options);
  const unpacked = unpack(file, packed, options.limit ?? UNPACKED_LIMIT);
  const decoded = decodePlain(unpacked.bytes, options);
  return { ...decoded, packed, findings: [...archiveFindings(unpacked), ...decoded.findings] };
}

function archiveFindings({ bytes, packed, statedCrc }: Unpacked) {
  const running = algorithmOf("CRC-32/ISO-HDLC").start();
  running.update(bytes);
  const computed = Number(running.value());
  return computed === statedCrc
    ? []
    : [finding("file/archive-checksum-wrong", { packed, stated: statedCrc, computed })];
}

function decodePlain(bytes: Uint8Array, { format = "auto", base, layout = "as-is" }: DecodeOptions): Decoded {
  const chosen = format === "auto" ? detectFormat(bytes).format : format;
  if (chosen !== "raw") {
    if (base !== undefined)
      throw new Refusal("file/base-not-raw", `base address: expected a raw file with it, got ${chosen}`);
    if (layout !== "as-is")
      throw new Refusal("file/layout-not-raw", `layout ${layout}: expected a raw file with it, got ${chosen}`);
    return chosen === "intel-hex" ? decodeIntelHex(bytes) : decodeSRecord(bytes);
  }
  if (layout === "as-is") return decodeRaw(bytes, base);
  const decoded = decodeRaw(rearranged(bytes, layout), base);
  return {
    ...decoded,
    originOf: (address) => {
      const origin = decoded.originOf(address);
      return origin && { offset: offsetBefore(origin.offset, layout) };
    },
  };
}
