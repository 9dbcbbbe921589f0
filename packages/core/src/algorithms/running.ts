/** What every algorithm looks like while bytes go through it. */

/** A computation under way. It takes bytes in pieces, cut anywhere, and may be asked for its value at any point. */
export interface Running {
  update(bytes: Uint8Array): void;
  /**
   * The same as `update` with `count` bytes of the value `byte`, which are never laid out in memory. Everything but a
   * hash takes about as long for a gigabyte as for a page.
   * @throws RangeError when `byte` is not 0 to 255 or `count` is not a whole number from 0 on
   */
  fill(byte: number, count: number): void;
  /** The value for what was fed so far, in the algorithm's width. More may be fed afterwards. */
  value(): bigint;
}

/**
 * Nothing, when `byte` and `count` can be fed.
 * @throws RangeError otherwise
 */
export function checkFill(byte: number, count: number): void {
  if (!Number.isInteger(byte) || byte < 0 || byte > 255) throw new RangeError(`fill: expected a byte, got ${byte}`);
  if (!Number.isSafeInteger(count) || count < 0) throw new RangeError(`fill: expected a count of bytes, got ${count}`);
}

const chunkLength = 4096;

/** Calls `update` until `count` bytes of the value `byte` went through it, from one small array. */
export function updateWithFill(update: (bytes: Uint8Array) => void, byte: number, count: number): void {
  const chunk = new Uint8Array(Math.min(count, chunkLength)).fill(byte);
  let left = count;
  for (; left > chunk.length; left -= chunk.length) update(chunk);
  update(chunk.subarray(0, left));
}
