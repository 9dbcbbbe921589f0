import { MEMORY_END } from "../bytes/span.js";
import { fromLatin1 } from "../bytes/text.js";
import { Refusal } from "../findings/refusal.js";
import type { Image } from "../image/image.js";
import type { FormatName, StartAddress } from "./decoded.js";
import { TextWriter } from "./text-writer.js";

/** How an image is to be written. */
export interface EncodeOptions {
  /** Data bytes of a record: 1 to 255, in S-records as many as the address leaves room for. 32 when left out. */
  readonly recordLength?: number;
  /** Where the processor starts. */
  readonly start?: StartAddress | undefined;
  /** Text for the S0 record. */
  readonly header?: string | undefined;
  readonly lineEnd?: "lf" | "crlf";
  /** What holes are filled with in a raw file; without it an image with holes is refused. */
  readonly fill?: number | undefined;
}

/** The largest raw file that is written: holes cost as much as content there. */
const rawLimit = 256 * 1024 * 1024;

/**
 * The file that describes `image` in `format`. Holes stay holes in the text formats.
 * @throws Refusal for what the format cannot hold
 */
export function encode(image: Image, format: FormatName, options: EncodeOptions = {}): Uint8Array {
  const { recordLength = 32 } = options;
  if (!Number.isInteger(recordLength) || recordLength < 1 || recordLength > 255) {
    throw new Refusal("encode/record-length", `record length: expected 1 to 255, got ${recordLength}`);
  }
  switch (format) {
    case "raw":
      return encodeRaw(image, options.fill);
    case "intel-hex":
      return encodeIntelHex(image, recordLength, options);
    case "s-record":
      return encodeSRecord(image, recordLength, options);
  }
}

function encodeRaw(image: Image, fill: number | undefined): Uint8Array {
  const { bounds } = image;
  if (!bounds) return new Uint8Array(0);
  const length = bounds.end - bounds.start;
  const gap = image.gaps(bounds)[0];
  if (gap && fill === undefined) {
    throw new Refusal(
      "encode/holes",
      `raw file: expected an image without holes, or a byte to fill them with, got ${gap.end - gap.start} unknown bytes from ${gap.start} on`,
    );
  }
  if (length > rawLimit)
    throw new Refusal("encode/too-large", `raw file: expected at most ${rawLimit} bytes, got ${length}`);
  const bytes = new Uint8Array(length).fill(fill ?? 0);
  for (const segment of image.segments) bytes.set(segment.bytes, segment.address - bounds.start);
  return bytes;
}

function writerFor(image: Image, recordLength: number, lineEnd: "lf" | "crlf" = "lf"): TextWriter {
  const perByte = 2 + 18 / recordLength;
  return new TextWriter(Math.ceil(image.length * perByte) + 256, Uint8Array.from(lineEnd === "lf" ? [10] : [13, 10]));
}

/** Type 04 records stand where the upper half of the address changes, and nowhere below 64 KiB unless it changes back. */
function encodeIntelHex(image: Image, recordLength: number, { start, lineEnd }: EncodeOptions): Uint8Array {
  const writer = writerFor(image, recordLength, lineEnd);
  const record = (type: number, offset: number, write: () => void, count: number) => {
    writer.begin(":", 2 * count + 10);
    writer.number(count, 1);
    writer.number(offset, 2);
    writer.number(type, 1);
    write();
    writer.end(-writer.sum);
  };
  let upper = 0;
  for (const { address, bytes } of image.segments) {
    for (let at = 0; at < bytes.length; ) {
      const here = address + at;
      const page = Math.floor(here / 0x10000);
      if (page !== upper) {
        record(4, 0, () => writer.number(page, 2), 2);
        upper = page;
      }
      // A record stops where the upper half changes: programs do not agree on one that goes on past it.
      const end = Math.min(bytes.length, at + recordLength, (page + 1) * 0x10000 - address);
      record(0, here % 0x10000, () => writer.data(bytes, at, end), end - at);
      at = end;
    }
  }
  if (start?.kind === "segmented") {
    record(3, 0, () => writer.number(start.segment * 0x10000 + start.offset, 4), 4);
  } else if (start) {
    record(5, 0, () => writer.number(start.address, 4), 4);
  }
  record(1, 0, () => {}, 0);
  return writer.written();
}

/** All data records have the width of the last address; the end record is the one that goes with it. */
function encodeSRecord(image: Image, recordLength: number, { start, header = "", lineEnd }: EncodeOptions): Uint8Array {
  const last = Math.max((image.bounds?.end ?? 1) - 1, start?.address ?? 0);
  if (last >= MEMORY_END) throw new Refusal("encode/too-high", `S-record: expected addresses below 2**32, got ${last}`);
  const addressLength = last < 2 ** 16 ? 2 : last < 2 ** 24 ? 3 : 4;
  const most = 254 - addressLength;
  const text = fromLatin1(header);
  if (!text || text.length > 252)
    throw new Refusal("encode/header", "header: expected at most 252 characters of one byte each, got another text");
  const writer = writerFor(image, recordLength, lineEnd);
  const record = (type: number, width: number, address: number, data: Uint8Array, from: number, to: number) => {
    writer.begin(`S${type}`, 2 * (to - from) + 2 * width + 4);
    writer.number(to - from + width + 1, 1);
    writer.number(address, width);
    writer.data(data, from, to);
    writer.end(~writer.sum);
  };
  const nothing = new Uint8Array(0);
  record(0, 2, 0, text, 0, text.length);
  let count = 0;
  for (const { address, bytes } of image.segments) {
    const step = Math.min(recordLength, most);
    for (let at = 0; at < bytes.length; at += step) {
      record(addressLength - 1, addressLength, address + at, bytes, at, Math.min(bytes.length, at + step));
      count++;
    }
  }
  if (count < 2 ** 16) record(5, 2, count, nothing, 0, 0);
  else if (count < 2 ** 24) record(6, 3, count, nothing, 0, 0);
  record(11 - addressLength, addressLength, start?.address ?? 0, nothing, 0, 0);
  return writer.written();
}
