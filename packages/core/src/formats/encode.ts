import { formatAddress } from "../bytes/hex.js";
import { checkedSpan, contains, lengthOf, type Span } from "../bytes/span.js";
import { Refusal } from "../findings/refusal.js";
import type { Image } from "../image/image.js";
import type { StartAddress, WrittenFormatName } from "./decoded.js";
import { encodeIntelHex, type HexAddressing } from "./intel-hex-encode.js";
import { encodeSRecord, type SRecordType } from "./s-record-encode.js";
import { encodeTektronixHex } from "./tektronix-hex-encode.js";
import { encodeTiTxt } from "./ti-txt-encode.js";

/** How an image is to be written. What does not belong to the format is passed over. */
export interface EncodeOptions {
  /**
   * Data bytes of a record: 1 to 255, in S-records and Tektronix extended hex no more than the address leaves room
   * for. 32 when left out.
   */
  readonly recordLength?: number;
  /** How Intel HEX says addresses above 64 KiB. `auto` when left out: not at all if there are none, else 32-bit. */
  readonly addressing?: HexAddressing | "auto";
  /** The data records of an S-record file. `auto` when left out: the narrowest that fits. */
  readonly recordType?: SRecordType | "auto";
  /** `lf` when left out. */
  readonly lineEnd?: "lf" | "crlf" | "cr";
  /** Where the processor starts. A raw file cannot say it. */
  readonly start?: StartAddress | undefined;
  /** Text for the S0 record. */
  readonly header?: string | undefined;
  /** What holes are filled with in a raw file; without it an image with holes is refused. */
  readonly fill?: number | undefined;
  /** What a raw file covers, when it is more than from the first known byte to the last. */
  readonly span?: Span | undefined;
  /** The most bytes that a raw file may have: a hole costs as much as content there. 256 MiB when left out. */
  readonly limit?: number;
}

/** The largest raw file that is written when nobody says otherwise. */
export const RAW_LIMIT = 256 * 1024 * 1024;

const lineEnds = { lf: [0x0a], crlf: [0x0d, 0x0a], cr: [0x0d] } as const;

/**
 * The file that describes `image` in `format`. Holes stay holes in the text formats.
 * @throws Refusal for what the format cannot hold, and for an option out of range
 */
export function encode(image: Image, format: WrittenFormatName, options: EncodeOptions = {}): Uint8Array {
  if (format === "raw") return encodeRaw(image, options);
  const { recordLength = 32, addressing = "auto", recordType = "auto", start, header } = options;
  if (!Number.isInteger(recordLength) || recordLength < 1 || recordLength > 255) {
    throw new Refusal("encode/record-length", `record length: expected 1 to 255, got ${recordLength}`);
  }
  const lineEnd = Uint8Array.from(lineEnds[options.lineEnd ?? "lf"]);
  switch (format) {
    case "intel-hex":
      return encodeIntelHex(image, { recordLength, addressing, lineEnd, start });
    case "s-record":
      return encodeSRecord(image, { recordLength, type: recordType, lineEnd, start, header });
    case "tektronix-hex":
      return encodeTektronixHex(image, { recordLength, lineEnd, start });
    case "ti-txt":
      return encodeTiTxt(image, lineEnd);
  }
}

function encodeRaw(image: Image, { fill, span, limit = RAW_LIMIT }: EncodeOptions): Uint8Array {
  const bounds = image.bounds ?? { start: 0, end: 0 };
  const extent = span ? checkedSpan(span) : bounds;
  if (fill !== undefined && !(Number.isInteger(fill) && fill >= 0 && fill <= 0xff)) {
    throw new Refusal("encode/fill-invalid", `fill: expected a byte, 0 to 255, got ${fill}`);
  }
  if (image.bounds && !contains(extent, bounds)) {
    const wanted = `${formatAddress(extent.start)}..${formatAddress(extent.end)}`;
    const known = `${formatAddress(bounds.start)}..${formatAddress(bounds.end)}`;
    throw new Refusal("encode/outside", `raw file of ${wanted}: expected all data in it, got data in ${known}`);
  }
  const length = lengthOf(extent);
  if (length > limit) {
    throw new Refusal("encode/too-large", `raw file: expected at most ${limit} bytes, got ${length}`);
  }
  const hole = length === image.length ? undefined : image.gaps(extent)[0];
  if (hole && fill === undefined) {
    throw new Refusal(
      "encode/holes",
      `raw file: expected an image without holes, or a byte to fill them with, got a hole of ${lengthOf(hole)} bytes from ${formatAddress(hole.start)}`,
    );
  }
  const bytes = new Uint8Array(length);
  if (fill) bytes.fill(fill);
  for (const segment of image.segments) bytes.set(segment.bytes, segment.address - extent.start);
  return bytes;
}
