/** Bytes that look random and are the same for the same seed: xorshift of 32 bits (Marsaglia, 2003). */
export function seededBytes(length: number, seed: number): Uint8Array {
  let state = seed >>> 0 || 1;
  return Uint8Array.from({ length }, () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return state & 0xff;
  });
}
