/** Bytes of which some digits are fixed: two signs a byte, each a hexadecimal digit, or a dot for any. */
export interface BytePattern {
  readonly values: Uint8Array;
  readonly masks: Uint8Array;
}

export function bytePattern(signs: string): BytePattern {
  const length = signs.length / 2;
  const values = new Uint8Array(length);
  const masks = new Uint8Array(length);
  for (let i = 0; i < signs.length; i++) {
    const shift = i % 2 === 0 ? 4 : 0;
    const at = i >> 1;
    if (signs[i] === ".") continue;
    masks[at] = (masks[at] as number) | (0xf << shift);
    values[at] = (values[at] as number) | (Number.parseInt(signs[i] as string, 16) << shift);
  }
  return { values, masks };
}

/** Whether `pattern` stands at `at`, whole. */
export function standsAt({ values, masks }: BytePattern, bytes: Uint8Array, at: number): boolean {
  if (at < 0 || at + values.length > bytes.length) return false;
  for (let i = 0; i < values.length; i++) {
    if (((bytes[at + i] as number) & (masks[i] as number)) !== values[i]) return false;
  }
  return true;
}
