/** Bytes seen as 32-bit words where the host can load them as such: four bytes a load, three to five times as fast. */

/** Whether the host keeps the least significant byte of a word first. */
const littleEndianHost = new Uint8Array(new Uint32Array([1]).buffer)[0] === 1;

/** What is to be gone through byte by byte, and what in words: bytes from `start` to `end` are the words. */
export interface WordPart {
  readonly start: number;
  readonly end: number;
  /** The least significant byte of each is the one that comes first in memory. */
  readonly words: Int32Array;
}

const none = new Int32Array(0);

/**
 * The longest part of `bytes` that lies on a word boundary and is a multiple of `multiple` words. Empty, at the start,
 * when there is too little of it to be worth a view, or when the host loads words the other way round.
 */
export function wordPart(bytes: Uint8Array, multiple: number): WordPart {
  if (bytes.length < 64 || !littleEndianHost) return { start: 0, end: 0, words: none };
  const start = (4 - (bytes.byteOffset % 4)) % 4;
  const count = Math.floor((bytes.length - start) / 4 / multiple) * multiple;
  const words = new Int32Array(bytes.buffer, bytes.byteOffset + start, count);
  return { start, end: start + 4 * count, words };
}
