/**
 * Hexadecimal digits as tables: one look gives the value of two characters, or the two characters of a value. The
 * first character of a pair is its low byte, as a little-endian load of two characters puts it.
 */

/** The byte that two characters spell, or -1 when one of them is no digit. Both cases count. */
export const pairs: Int16Array = pairTable();

/** The two capital digits of a byte. */
export const digitsOfByte: Uint16Array = digitTable();

/** Whether `character` is a hexadecimal digit of either case. */
export function isDigit(character: number): boolean {
  return (pairs[0x3000 + character] as number) >= 0;
}

/** The byte that the two characters at `at` spell, or -1. */
export function pairAt(bytes: Uint8Array, at: number): number {
  return at + 1 < bytes.length ? (pairs[(bytes[at] as number) + 256 * (bytes[at + 1] as number)] as number) : -1;
}

function pairTable(): Int16Array {
  const table = new Int16Array(0x10000).fill(-1);
  const digits = Array.from("0123456789ABCDEFabcdef", (digit) => [digit.charCodeAt(0), Number.parseInt(digit, 16)]);
  for (const [high, highValue] of digits as [number, number][]) {
    for (const [low, lowValue] of digits as [number, number][]) table[high + 256 * low] = 16 * highValue + lowValue;
  }
  return table;
}

function digitTable(): Uint16Array {
  const digit = (value: number) => "0123456789ABCDEF".charCodeAt(value);
  return Uint16Array.from({ length: 256 }, (_, byte) => digit(byte >> 4) + 256 * digit(byte & 15));
}
