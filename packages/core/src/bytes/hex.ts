/** Hexadecimal text to bytes and back, and how numbers are written for people. */

const digits = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, "0"));

/** Two lower-case digits a byte, nothing between them. */
export function toHex(bytes: Uint8Array): string {
  let text = "";
  for (const byte of bytes) text += digits[byte];
  return text;
}

/**
 * The bytes that `text` spells: two digits each, either case, nothing between them.
 * @throws RangeError when the count is odd or a character is not a digit
 */
export function fromHex(text: string): Uint8Array {
  if (text.length % 2 !== 0) throw new RangeError(`hex: expected an even number of digits, got ${text.length}`);
  const bytes = new Uint8Array(text.length / 2);
  for (let i = 0; i < bytes.length; i++) {
    const pair = text.slice(2 * i, 2 * i + 2);
    if (!/^[0-9a-fA-F]{2}$/.test(pair)) {
      throw new RangeError(`hex: expected two digits at ${2 * i}, got ${JSON.stringify(pair)}`);
    }
    bytes[i] = Number.parseInt(pair, 16);
  }
  return bytes;
}

/** An address as people read it: 0x and eight capital digits. */
export function formatAddress(address: number): string {
  return `0x${address.toString(16).toUpperCase().padStart(8, "0")}`;
}

/** A value of `width` bits as lower-case digits padded to that width. */
export function formatValue(value: bigint, width: number): string {
  return value.toString(16).padStart(Math.ceil(width / 4), "0");
}
