/** A rearrangement that would make a read legible. Each describes what to do to the file. */
export type Correction =
  | { readonly kind: "swap-16" | "swap-32" | "swap-halves-32" }
  /** The first half of the file holds every other byte (or pair): the halves are to be interleaved. */
  | { readonly kind: "interleave" | "interleave-16" }
  /** Two parts that follow each other in memory were interleaved: bytes (or pairs) are to be dealt out to two halves. */
  | { readonly kind: "separate" | "separate-16" }
  | { readonly kind: "reverse-bits" | "invert-bits" | "swap-nibbles" | "swap-16-reverse-bits" }
  | { readonly kind: "exchange-data-lines"; readonly bus: 8 | 16; readonly first: number; readonly second: number }
  | { readonly kind: "exchange-address-lines"; readonly first: number; readonly second: number };

/** How a pair of bytes of the original (first byte upper) lies in the file: a table for each byte, then a change of the pair. */
export interface PairMap {
  readonly correction: Correction;
  /** What becomes of each byte; undefined when nothing does. */
  readonly table: Uint8Array | undefined;
  /** Whether the two bytes then change places. */
  readonly swap: boolean;
  /** Two bits of the pair that change places; equal when none do. */
  readonly first: number;
  readonly second: number;
}

function pairMap(correction: Correction, change: Partial<PairMap>): PairMap {
  return { table: undefined, swap: false, first: 0, second: 0, ...change, correction };
}

/** Where the pair `pair` of the original is found in the file. */
export function inFile({ table, swap, first, second }: PairMap, pair: number): number {
  const mapped = table ? ((table[pair >> 8] as number) << 8) | (table[pair & 0xff] as number) : pair;
  const placed = swap ? ((mapped & 0xff) << 8) | (mapped >> 8) : mapped;
  return ((placed >> first) ^ (placed >> second)) & 1 ? placed ^ ((1 << first) | (1 << second)) : placed;
}

function tableOf(change: (byte: number) => number): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, byte) => change(byte));
}

const reversed = (byte: number) => {
  let result = 0;
  for (let bit = 0; bit < 8; bit++) result |= ((byte >> bit) & 1) << (7 - bit);
  return result;
};

/** `value` with two of its bits exchanged. */
export function bitsExchanged(value: number, first: number, second: number): number {
  return ((value >> first) & 1) === ((value >> second) & 1) ? value : value ^ (2 ** first + 2 ** second);
}

/** Everything that acts on bits alone: known from the census without another look at the bytes. */
export function pairMaps(): readonly PairMap[] {
  made ??= everyPairMap();
  return made;
}
/** Made when they are first asked for: most reads are answered for by a checksum. */
let made: readonly PairMap[] | undefined;

function everyPairMap(): PairMap[] {
  const reversing = tableOf(reversed);
  const maps = [
    pairMap({ kind: "reverse-bits" }, { table: reversing }),
    pairMap({ kind: "swap-16-reverse-bits" }, { table: reversing, swap: true }),
    pairMap({ kind: "invert-bits" }, { table: tableOf((byte) => byte ^ 0xff) }),
    pairMap({ kind: "swap-nibbles" }, { table: tableOf((byte) => (byte >> 4) | ((byte & 0xf) << 4)) }),
  ];
  for (let first = 0; first < 8; first++) {
    for (let second = first + 1; second < 8; second++) {
      const table = tableOf((byte) => bitsExchanged(byte, first, second));
      maps.push(pairMap({ kind: "exchange-data-lines", bus: 8, first, second }, { table }));
    }
  }
  for (let first = 0; first < 16; first++) {
    for (let second = first + 1; second < 16; second++) {
      maps.push(pairMap({ kind: "exchange-data-lines", bus: 16, first, second }, { first, second }));
    }
  }
  return maps;
}

/** Where the byte at `offset` of the original stands in a file of `length` bytes that needs `correction`. */
export function placeInFile(correction: Correction, offset: number, length: number): number {
  const half = length / 2;
  switch (correction.kind) {
    case "swap-16":
      return offset ^ 1;
    case "swap-32":
      return offset ^ 3;
    case "swap-halves-32":
      return offset ^ 2;
    case "interleave":
      return (offset & 1) * half + (offset >>> 1);
    case "interleave-16":
      return ((offset >>> 1) & 1) * half + ((offset >>> 2) << 1) + (offset & 1);
    case "separate":
      return offset < half ? 2 * offset : 2 * (offset - half) + 1;
    case "separate-16": {
      const inside = offset < half ? offset : offset - half;
      return ((inside >>> 1) << 2) + (offset < half ? 0 : 2) + (inside & 1);
    }
    case "exchange-address-lines":
      return linesExchanged(offset, correction.first, correction.second);
    default:
      return offset;
  }
}

/** Puts `into.length` bytes of the original from `at` on, gathered from where they stand in the file, into `into`. */
export function gather(bytes: Uint8Array, correction: Correction | undefined, at: number, into: Uint8Array): void {
  const count = into.length;
  const mask = correction && { "swap-16": 1, "swap-32": 3, "swap-halves-32": 2 }[correction.kind as string];
  if (!correction) into.set(bytes.subarray(at, at + count));
  else if (mask !== undefined) for (let i = 0; i < count; i++) into[i] = bytes[(at + i) ^ mask] as number;
  else if (correction.kind === "exchange-address-lines") {
    const { first, second } = correction;
    for (let i = 0; i < count; i++) into[i] = bytes[linesExchanged(at + i, first, second)] ?? 0;
  } else for (let i = 0; i < count; i++) into[i] = bytes[placeInFile(correction, at + i, bytes.length)] ?? 0;
}

/** Where a byte stands when two lines of the address were exchanged; its own inverse. Offsets into a body: below 2**31. */
export function linesExchanged(offset: number, first: number, second: number): number {
  const differ = ((offset >>> first) ^ (offset >>> second)) & 1;
  return offset ^ ((differ << first) | (differ << second));
}
