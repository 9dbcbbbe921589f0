import { formatAddress } from "../bytes/hex.js";
import { Refusal } from "../findings/refusal.js";
import type { Image } from "../image/image.js";
import type { StartAddress } from "./decoded.js";
import { DigitWriter } from "./digit-writer.js";
import { hexTypes } from "./intel-hex-record.js";
import { hexData } from "./record-shape.js";

/** How addresses above 64 KiB are written: not at all, by segment base (type 02), by linear base (type 04). */
export type HexAddressing = "16-bit" | "20-bit" | "32-bit";

/** How an image is to be written as Intel HEX. What is left out is chosen as the comment says. */
export interface IntelHexOptions {
  /** Data bytes of a record, 1 to 255. */
  readonly recordLength: number;
  /** `auto`: 16 bits when all data lie below 64 KiB, else 32. 20 bits only when asked for. */
  readonly addressing: HexAddressing | "auto";
  readonly lineEnd: Uint8Array;
  readonly start?: StartAddress | undefined;
}

const PAGE = 0x10000;

/** One past the highest address that each way reaches. */
const reach = { "16-bit": PAGE, "20-bit": 2 ** 20, "32-bit": 2 ** 32 } as const;

/** A run of data that one base serves. */
interface Portion {
  readonly bytes: Uint8Array;
  readonly from: number;
  readonly count: number;
  readonly page: number;
  readonly offset: number;
}

/**
 * `image` as Intel HEX, holes left out. Every program reads it alike: base records of one kind only, and only where
 * the base changes; no record crosses a multiple of 64 KiB.
 * @throws Refusal when an address does not fit the addressing that was asked for
 */
export function encodeIntelHex(image: Image, options: IntelHexOptions): Uint8Array {
  const { recordLength, lineEnd, start } = options;
  const addressing = chosenAddressing(image, options);
  const portions = [...portionsOf(image)];
  const startRecord = start && startFields(start, addressing);
  const writer = new DigitWriter(sizeOf(portions, recordLength, lineEnd.length, startRecord !== undefined), lineEnd);
  let page = 0;
  for (const portion of portions) {
    if (portion.page !== page) {
      page = portion.page;
      if (addressing === "20-bit") writeControl(writer, hexTypes.segmentBase, page * 0x1000, 2);
      else writeControl(writer, hexTypes.linearBase, page, 2);
    }
    writer.data(hexData, portion.bytes, portion.from, portion.count, portion.offset, recordLength);
  }
  if (startRecord) writeControl(writer, startRecord.type, startRecord.value, 4);
  writeControl(writer, hexTypes.end, 0, 0);
  return writer.bytes;
}

function chosenAddressing(image: Image, { addressing }: IntelHexOptions): HexAddressing {
  const end = image.bounds?.end ?? 0;
  if (addressing === "auto") return end <= PAGE ? "16-bit" : "32-bit";
  if (end > reach[addressing]) {
    const most = formatAddress(reach[addressing] - 1);
    throw new Refusal(
      "encode/address-too-high",
      `${addressing} addressing: expected data up to ${most}, got some at ${formatAddress(end - 1)}`,
    );
  }
  return addressing;
}

/** A segmented start is kept as it is; any other becomes one in 20-bit files, as only its kind is known there. */
function startFields(start: StartAddress, addressing: HexAddressing): { type: number; value: number } {
  if (start.kind === "segmented") return { type: hexTypes.segmentStart, value: PAGE * start.segment + start.offset };
  if (addressing !== "20-bit") return { type: hexTypes.linearStart, value: start.address };
  if (start.address >= reach["20-bit"]) {
    const most = formatAddress(reach["20-bit"] - 1);
    throw new Refusal(
      "encode/address-too-high",
      `20-bit addressing: expected a start address up to ${most}, got ${formatAddress(start.address)}`,
    );
  }
  const offset = start.address % PAGE;
  return { type: hexTypes.segmentStart, value: PAGE * ((start.address - offset) / 16) + offset };
}

function* portionsOf(image: Image): Generator<Portion> {
  for (const { address, bytes } of image.segments) {
    for (let from = 0; from < bytes.length; ) {
      const page = Math.floor((address + from) / PAGE);
      const offset = (address + from) % PAGE;
      const count = Math.min(bytes.length - from, PAGE - offset);
      yield { bytes, from, count, page, offset };
      from += count;
    }
  }
}

function sizeOf(portions: readonly Portion[], recordLength: number, lineEnd: number, start: boolean): number {
  let records = 1;
  let bytes = 0;
  let page = 0;
  for (const portion of portions) {
    if (portion.page !== page) {
      page = portion.page;
      records++;
      bytes += 2;
    }
    records += Math.ceil(portion.count / recordLength);
    bytes += portion.count;
  }
  if (start) {
    records++;
    bytes += 4;
  }
  return records * (11 + lineEnd) + 2 * bytes;
}

function writeControl(writer: DigitWriter, type: number, value: number, length: number): void {
  writer.record(":", 0, [
    [length, 1],
    [0, 2],
    [type, 1],
    [value, length],
  ]);
}
