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

/** How a pair of bytes of the original (first byte upper) lies in the file. */
export interface PairMap {
  readonly correction: Correction;
  readonly inFile: (pair: number) => number;
}

function pairMap(correction: Correction, inFile: (pair: number) => number): PairMap {
  return { correction, inFile };
}

const swapped = (pair: number) => ((pair & 0xff) << 8) | (pair >> 8);
const reversedByte = Uint8Array.from({ length: 256 }, (_, byte) => {
  let reversed = 0;
  for (let bit = 0; bit < 8; bit++) reversed |= ((byte >> bit) & 1) << (7 - bit);
  return reversed;
});
const reversed = (pair: number) => ((reversedByte[pair >> 8] as number) << 8) | (reversedByte[pair & 0xff] as number);

/** `value` with two of its bits exchanged. */
export function bitsExchanged(value: number, first: number, second: number): number {
  return ((value >> first) & 1) === ((value >> second) & 1) ? value : value ^ (2 ** first + 2 ** second);
}

/** Everything that acts on bits alone: known from the census without another look at the bytes. */
export function pairMaps(): PairMap[] {
  const maps = [
    pairMap({ kind: "reverse-bits" }, reversed),
    pairMap({ kind: "swap-16-reverse-bits" }, (pair) => swapped(reversed(pair))),
    pairMap({ kind: "invert-bits" }, (pair) => pair ^ 0xffff),
    pairMap({ kind: "swap-nibbles" }, (pair) => ((pair & 0xf0f0) >> 4) | ((pair & 0x0f0f) << 4)),
  ];
  for (let first = 0; first < 8; first++) {
    for (let second = first + 1; second < 8; second++) {
      maps.push(
        pairMap({ kind: "exchange-data-lines", bus: 8, first, second }, (pair) =>
          bitsExchanged(bitsExchanged(pair, first, second), first + 8, second + 8),
        ),
      );
    }
  }
  for (let first = 0; first < 16; first++) {
    for (let second = first + 1; second < 16; second++) {
      maps.push(
        pairMap({ kind: "exchange-data-lines", bus: 16, first, second }, (pair) => bitsExchanged(pair, first, second)),
      );
    }
  }
  return maps;
}

/** Where the byte at `offset` of the original stands in a file of `length` bytes that needs `correction`. */
export function placeInFile({ kind }: Correction, length: number): ((offset: number) => number) | undefined {
  switch (kind) {
    case "swap-16":
      return (offset) => offset + 1 - 2 * (offset % 2);
    case "swap-32":
      return (offset) => offset + 3 - 2 * (offset % 4);
    case "swap-halves-32":
      return (offset) => (offset % 4 < 2 ? offset + 2 : offset - 2);
    case "interleave":
      return (offset) => (offset % 2) * (length / 2) + Math.floor(offset / 2);
    case "interleave-16":
      return (offset) => (Math.floor(offset / 2) % 2) * (length / 2) + 2 * Math.floor(offset / 4) + (offset % 2);
    case "separate":
      return (offset) => (offset < length / 2 ? 2 * offset : 2 * (offset - length / 2) + 1);
    case "separate-16":
      return (offset) => {
        const half = offset < length / 2 ? 0 : 1;
        const inside = offset - (half * length) / 2;
        return 4 * Math.floor(inside / 2) + 2 * half + (inside % 2);
      };
    default:
      return undefined;
  }
}

/** Where a byte stands when two lines of the address were exchanged; its own inverse. Offsets into a body: below 2**31. */
export function linesExchanged(offset: number, first: number, second: number): number {
  const differ = ((offset >>> first) ^ (offset >>> second)) & 1;
  return offset ^ ((differ << first) | (differ << second));
}
