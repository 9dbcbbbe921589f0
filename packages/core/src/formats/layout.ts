import { formatAddress } from "../bytes/hex.js";
import { Refusal } from "../findings/refusal.js";
import { Image } from "../image/image.js";

/** How the bytes of a read lie against those of the memory: a word, and from which of its bytes each one comes. */
export interface Layout {
  readonly order: readonly number[];
  /** Whose doing it is. Common practice, no source. */
  readonly about: string;
}

/** The layouts that a read can have. Each undoes itself. */
export const layouts = {
  "as-is": { order: [0], about: "the bytes lie as in the memory" },
  "swap-16": { order: [1, 0], about: "a part of 16 bits, read with the bytes of each word exchanged" },
  "swap-32": { order: [3, 2, 1, 0], about: "words of 32 bits, read with their four bytes reversed" },
  "swap-halves-32": { order: [2, 3, 0, 1], about: "words of 32 bits, read with their halves exchanged" },
} as const satisfies Record<string, Layout>;

export type LayoutName = keyof typeof layouts;

/** Their names. */
export const layoutNames = Object.keys(layouts) as LayoutName[];

/**
 * The bytes of a read in the order of the memory, and the other way round: a copy, but for `as-is`.
 * @throws Refusal when they are no whole words
 */
export function rearranged(bytes: Uint8Array, layout: LayoutName): Uint8Array {
  const { order }: Layout = layouts[layout];
  if (order.length === 1) return bytes;
  if (bytes.length % order.length !== 0) {
    throw new Refusal(
      "file/layout-odd",
      `layout ${layout}: expected a multiple of ${order.length} bytes, got ${bytes.length}`,
    );
  }
  const result = new Uint8Array(bytes.length);
  for (let at = 0; at < bytes.length; at += order.length) {
    for (let i = 0; i < order.length; i++) result[at + i] = bytes[at + (order[i] as number)] as number;
  }
  return result;
}

/** Where the byte stood that `rearranged` puts at `place`: an offset, or an address of `rearrangedImage`. */
export function offsetBefore(place: number, layout: LayoutName): number {
  const { order }: Layout = layouts[layout];
  const within = place % order.length;
  return place - within + (order[within] as number);
}

/**
 * The image whose words, counted from address 0, are rearranged.
 * @throws Refusal when a piece of it begins or ends inside a word
 */
export function rearrangedImage(image: Image, layout: LayoutName): Image {
  const { order }: Layout = layouts[layout];
  const parts = image.segments.map(({ address, bytes }) => {
    if (address % order.length !== 0 || bytes.length % order.length !== 0) {
      throw new Refusal(
        "file/layout-odd",
        `layout ${layout}: expected pieces of whole words of ${order.length} bytes, got ${bytes.length} bytes from ${formatAddress(address)}`,
      );
    }
    return { address, bytes: rearranged(bytes, layout) };
  });
  return layout === "as-is" ? image : Image.of(parts);
}
