import { lengthOf } from "../bytes/span.js";
import type { Image } from "../image/image.js";

/** The bytes that statistics are taken over. */
export interface Body {
  readonly bytes: Uint8Array;
  /** The address of the first byte. */
  readonly address: number;
  /** Bytes of holes that stand in it as erased; no statistic counts them as content. */
  readonly holes: number;
}

/** A body may hold this many times the bytes that are known; beyond it only the largest segment is looked at. */
const widest = 4;

/**
 * What is measured of `image`: all of it when its parts lie close together, its largest part otherwise. Holes between
 * the parts stand as `erased`. The bytes start at a multiple of 4 in their buffer. Undefined for an empty image.
 */
export function bodyOf(image: Image, erased: number): Body | undefined {
  const { bounds } = image;
  if (!bounds) return undefined;
  const known = image.length;
  if (image.segments.length > 1 && lengthOf(bounds) <= widest * known) {
    const bytes = new Uint8Array(lengthOf(bounds)).fill(erased);
    for (const { address, bytes: part } of image.segments) bytes.set(part, address - bounds.start);
    return { bytes, address: bounds.start, holes: bytes.length - known };
  }
  const { address, bytes } = image.segments.reduce((most, one) => (one.bytes.length > most.bytes.length ? one : most));
  return { bytes: bytes.byteOffset % 4 === 0 ? bytes : bytes.slice(), address, holes: 0 };
}

/** Whole 32-bit words of a body, in the machine's own order: for comparing, never for values. */
export function wordsOf(bytes: Uint8Array): Int32Array {
  return new Int32Array(bytes.buffer, bytes.byteOffset, bytes.length >>> 2);
}

/** Beyond so many bytes statistics that are shares are taken over a sample of this size. */
export const sampleSize = 2 ** 19;
const page = 4096;

/** All of `bytes` up to 512 KiB; of more, 128 pages of 4 KiB spread evenly, one behind the other: always the same ones. */
export function sampleOf(bytes: Uint8Array): Uint8Array {
  if (bytes.length <= sampleSize) return bytes;
  const sample = new Uint8Array(sampleSize);
  const pages = Math.floor(bytes.length / page);
  const count = sampleSize / page;
  for (let i = 0; i < count; i++) {
    const from = Math.floor((i * pages) / count) * page;
    sample.set(bytes.subarray(from, from + page), i * page);
  }
  return sample;
}
