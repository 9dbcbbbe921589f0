/**
 * The checksums of the family, each written out bit by bit: what the library computes is held against these, so they
 * share nothing with it.
 */

/** CRC-32/ISO-HDLC: reflected, polynomial 04C11DB7, register FFFFFFFF at the start and inverted at the end. */
export function crc32(bytes: Uint8Array): number {
  let register = 0xffffffff;
  for (const byte of bytes) {
    register ^= byte;
    for (let bit = 0; bit < 8; bit++) register = (register >>> 1) ^ (register % 2 === 0 ? 0 : 0xedb88320);
  }
  return (register ^ 0xffffffff) >>> 0;
}

/** CRC-16/IBM-3740: not reflected, polynomial 1021, register FFFF at the start. */
export function crc16(bytes: Uint8Array): number {
  let register = 0xffff;
  for (const byte of bytes) {
    register ^= byte << 8;
    for (let bit = 0; bit < 8; bit++) register = ((register << 1) ^ (register < 0x8000 ? 0 : 0x1021)) & 0xffff;
  }
  return register;
}

/** The sum of big-endian words of `width` bytes, modulo what fits in one. */
export function wordSum(bytes: Uint8Array, width: 2 | 4): number {
  let sum = 0;
  for (let at = 0; at < bytes.length; at += width) {
    let word = 0;
    for (let i = 0; i < width; i++) word = word * 256 + (bytes[at + i] as number);
    sum = (sum + word) % 2 ** (8 * width);
  }
  return sum;
}
