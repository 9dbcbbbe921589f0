/** Bytes to unsigned integers and back. */

/** Which byte of a word comes first in memory: the most significant (`big`) or the least (`little`). */
export type ByteOrder = "little" | "big";

/**
 * The unsigned integer that `bytes` hold.
 * @throws RangeError when there are none, or more than 6 (the result would not be exact)
 */
export function readUint(bytes: Uint8Array, order: ByteOrder): number {
  if (bytes.length < 1 || bytes.length > 6) throw new RangeError(`word: expected 1 to 6 bytes, got ${bytes.length}`);
  let value = 0;
  for (let i = 0; i < bytes.length; i++) {
    value = value * 256 + (bytes[order === "big" ? i : bytes.length - 1 - i] as number);
  }
  return value;
}

/** The unsigned integer that `bytes` hold, of any width; 0 when there are none. */
export function readBigUint(bytes: Uint8Array, order: ByteOrder): bigint {
  let value = 0n;
  for (let i = 0; i < bytes.length; i++) {
    value = (value << 8n) | BigInt(bytes[order === "big" ? i : bytes.length - 1 - i] as number);
  }
  return value;
}

/**
 * `value` in `length` bytes.
 * @throws RangeError when it is negative or does not fit
 */
export function writeBigUint(value: bigint, length: number, order: ByteOrder): Uint8Array {
  if (value < 0n || value >> BigInt(8 * length) !== 0n) {
    throw new RangeError(`word: expected a value of at most ${8 * length} bits, got ${value}`);
  }
  const bytes = new Uint8Array(length);
  let rest = value;
  for (let i = 0; i < length; i++) {
    bytes[order === "big" ? length - 1 - i : i] = Number(rest & 0xffn);
    rest >>= 8n;
  }
  return bytes;
}
