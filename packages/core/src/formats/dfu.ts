import { algorithmOf } from "../algorithms/algorithm.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Decoded } from "./decoded.js";
import { decodeRaw, type RawOptions } from "./raw.js";

/**
 * The suffix of a file for loading over USB, from the end of the file (USB Device Firmware Upgrade 1.1, appendix B; from
 * memory, held against a file that dfu-suffix 0.11 made): release, product, vendor and version of two bytes each, the
 * letters UFD, its length, and a CRC over everything before the CRC. Little-endian.
 */
const SHORTEST = 16;
const LETTERS = [0x55, 0x46, 0x44];

/**
 * Bytes of the header that one family's start-up loader wants before a file, and that its users put there when the
 * suffix, and its CRC, are made already (seen in the Debian package hackrf-firmware).
 */
const LATER_PREFIX = 16;
const KNOWN_VERSIONS = [0x0100, 0x0110];

/** Whether `bytes` end with such a suffix: its letters, a length that fits, and a version 01xx. */
export function hasDfuSuffix(bytes: Uint8Array): boolean {
  const end = bytes.length;
  const length = bytes[end - 5] ?? 0;
  return (
    length >= SHORTEST &&
    length <= end &&
    LETTERS.every((letter, i) => bytes[end - 8 + i] === letter) &&
    bytes[end - 9] === 0x01
  );
}

/**
 * The image of a file with a DFU suffix: the bytes before it, from `base` on. The CRC of the file is checked; a header
 * that was put before it later is removed with it. A file without a suffix is read as a raw one.
 * @throws Refusal for what `decodeRaw` refuses
 */
export function decodeDfu(bytes: Uint8Array, options: RawOptions = {}): Decoded {
  if (!hasDfuSuffix(bytes)) return decodeRaw(bytes, options);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const end = bytes.length;
  const length = bytes[end - 5] as number;
  const digits = (from: number) =>
    view
      .getUint16(end - from, true)
      .toString(16)
      .padStart(4, "0");
  const findings: Finding[] = [];
  const stated = view.getUint32(end - 4, true);
  const computed = crcOf(bytes.subarray(0, end - 4));
  const suffix = { offset: end - length };
  const prefixed =
    stated !== computed && end >= LATER_PREFIX + length && stated === crcOf(bytes.subarray(LATER_PREFIX, end - 4));
  const start = prefixed ? LATER_PREFIX : 0;
  const content = decodeRaw(bytes.subarray(start, end - length), options);
  if (prefixed) findings.push(finding("dfu/prefix-removed", { length: LATER_PREFIX }, { offset: 0 }));
  else if (stated !== computed) findings.push(finding("dfu/checksum-wrong", { stated, computed }, { offset: end - 4 }));
  if (!KNOWN_VERSIONS.includes(view.getUint16(end - 10, true))) {
    findings.push(finding("dfu/version-unknown", { version: digits(10) }, { offset: end - 10 }));
  }
  const numbers = { vendor: digits(12), product: digits(14), release: digits(16) };
  findings.push(finding("dfu/suffix-removed", { length, ...numbers }, suffix));
  const originOf = (address: number) => {
    const origin = content.originOf(address);
    return origin && { ...origin, offset: origin.offset + start };
  };
  return { ...content, format: "dfu", findings: [...findings, ...content.findings], originOf };
}

/** CRC-32 without its final inversion, as the suffix holds it. */
function crcOf(bytes: Uint8Array): number {
  const running = algorithmOf("CRC-32/JAMCRC").start();
  running.update(bytes);
  return Number(running.value());
}
