/** "1 byte", "12 bytes". */
export function bytes(count: number): string {
  return counted(count, "byte");
}

/** How many there are of what `noun` names: its plural ends in s. */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

/** A byte as two capital digits. */
export function byteText(byte: number): string {
  return byte.toString(16).toUpperCase().padStart(2, "0");
}

/** The same where it could be taken for a decimal number. */
export function hexByte(byte: number): string {
  return `0x${byteText(byte)}`;
}
