/** How often each pair of bytes stands at even and at odd pairs of the body, first byte in the upper half. */
export interface Census {
  /** Offsets 0, 4, 8 ... */
  readonly even: Uint32Array;
  /** Offsets 2, 6, 10 ... */
  readonly odd: Uint32Array;
  /** How often each byte value stands at offsets 0, 1, 2 and 3 of a word. */
  readonly lanes: readonly [Uint32Array, Uint32Array, Uint32Array, Uint32Array];
  /** Over all four. */
  readonly bytes: Uint32Array;
  readonly words: number;
}

/** The census of `bytes`, in one pass; the last one to three bytes that make no word are left out. */
export function censusOf(bytes: Uint8Array): Census {
  const even = new Uint32Array(65536);
  const odd = new Uint32Array(65536);
  const end = bytes.length & ~3;
  for (let i = 0; i < end; i += 4) {
    const first = ((bytes[i] as number) << 8) | (bytes[i + 1] as number);
    const second = ((bytes[i + 2] as number) << 8) | (bytes[i + 3] as number);
    even[first] = (even[first] as number) + 1;
    odd[second] = (odd[second] as number) + 1;
  }
  const lanes = [new Uint32Array(256), new Uint32Array(256), new Uint32Array(256), new Uint32Array(256)] as const;
  const all = new Uint32Array(256);
  for (let pair = 0; pair < 65536; pair++) {
    const atEven = even[pair] as number;
    const atOdd = odd[pair] as number;
    if (atEven + atOdd === 0) continue;
    const high = pair >> 8;
    const low = pair & 0xff;
    lanes[0][high] = (lanes[0][high] as number) + atEven;
    lanes[1][low] = (lanes[1][low] as number) + atEven;
    lanes[2][high] = (lanes[2][high] as number) + atOdd;
    lanes[3][low] = (lanes[3][low] as number) + atOdd;
    all[high] = (all[high] as number) + atEven + atOdd;
    all[low] = (all[low] as number) + atEven + atOdd;
  }
  return { even, odd, lanes, bytes: all, words: end / 4 };
}
