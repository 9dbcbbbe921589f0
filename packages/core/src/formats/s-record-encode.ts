import { formatAddress } from "../bytes/hex.js";
import { fromLatin1 } from "../bytes/text.js";
import { Refusal } from "../findings/refusal.js";
import type { Image } from "../image/image.js";
import type { StartAddress } from "./decoded.js";
import { DigitWriter } from "./digit-writer.js";
import { sData } from "./record-shape.js";

/** The data records of a file: their addresses have 16, 24 or 32 bits. */
export type SRecordType = "S1" | "S2" | "S3";

/** How an image is to be written as S-records. */
export interface SRecordOptions {
  /** Data bytes of a record: 1 to 255, and no more than its address leaves room for. */
  readonly recordLength: number;
  /** `auto`: the narrowest that reaches the last byte and the start address. */
  readonly type: SRecordType | "auto";
  readonly lineEnd: Uint8Array;
  readonly start?: StartAddress | undefined;
  /** Text for the S0 record, at most 252 characters of one byte each. */
  readonly header?: string | undefined;
}

const widths = { S1: 2, S2: 3, S3: 4 } as const;

/** Data bytes that fit into a record beside an address of so many bytes: the count has one byte, the checksum another. */
const room = (width: number) => 254 - width;

/**
 * `image` as S-records of one type, holes left out: a header when there is text for it, the data, their count, and the
 * end record that goes with them.
 * @throws Refusal when an address or the header does not fit
 */
export function encodeSRecord(image: Image, options: SRecordOptions): Uint8Array {
  const { lineEnd, start, header } = options;
  const width = widths[chosenType(image, options)];
  const step = Math.min(options.recordLength, room(width));
  const text = header ? headerBytes(header) : undefined;
  const records = image.segments.reduce((total, { bytes }) => total + Math.ceil(bytes.length / step), 0);
  const countWidth = records < 2 ** 16 ? 2 : records < 2 ** 24 ? 3 : 0;
  const around = 6 + lineEnd.length; // mark, type, count and checksum
  const size =
    (text ? around + 4 + 2 * text.length : 0) +
    records * (around + 2 * width) +
    2 * image.length +
    (countWidth > 0 ? around + 2 * countWidth : 0) +
    around +
    2 * width;
  const writer = new DigitWriter(size, lineEnd);
  if (text) writer.data({ ...sData(2), mark: "S0" }, text, 0, text.length, 0, room(2));
  const shape = sData(width);
  for (const { address, bytes } of image.segments) writer.data(shape, bytes, 0, bytes.length, address, step);
  if (countWidth > 0) writeControl(writer, countWidth + 3, countWidth, records);
  writeControl(writer, 11 - width, width, start?.address ?? 0);
  return writer.bytes;
}

function chosenType(image: Image, { type, start }: SRecordOptions): SRecordType {
  const highest = Math.max((image.bounds?.end ?? 1) - 1, start?.address ?? 0);
  if (type === "auto") return highest < 2 ** 16 ? "S1" : highest < 2 ** 24 ? "S2" : "S3";
  const reach = 256 ** widths[type];
  if (highest >= reach) {
    throw new Refusal(
      "encode/address-too-high",
      `${type} records: expected addresses up to ${formatAddress(reach - 1)}, got ${formatAddress(highest)}`,
    );
  }
  return type;
}

function headerBytes(header: string): Uint8Array {
  const bytes = fromLatin1(header);
  if (!bytes) throw new Refusal("encode/header-invalid", "header: expected characters of one byte each, got others");
  if (bytes.length > room(2)) {
    throw new Refusal("encode/header-invalid", `header: expected at most ${room(2)} characters, got ${bytes.length}`);
  }
  return bytes;
}

/** A record that carries an address and no data. */
function writeControl(writer: DigitWriter, type: number, width: number, address: number): void {
  writer.record(`S${type}`, 0xff, [
    [width + 1, 1],
    [address, width],
  ]);
}
