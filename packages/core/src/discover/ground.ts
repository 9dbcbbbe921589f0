import { common, lengthOf, type Span } from "../bytes/span.js";
import { type Image, sameBytes } from "../image/image.js";

/** Shorter ranges are not looked for: too many of them come out right by chance, and little depends on them. */
export const SHORTEST_RANGE = 64;

/** A run of addresses that all images know, with what each of them holds there. */
export interface Ground {
  /** Of the first byte. */
  readonly address: number;
  readonly length: number;
  /** One for each image whose content here is like no earlier one's: what is the same says nothing new. */
  readonly contents: readonly Uint8Array[];
}

/** The runs of at least 64 bytes that all `images` know, in the order of their addresses. */
export function groundsOf(images: readonly Image[]): Ground[] {
  const [first, ...others] = images;
  if (!first) return [];
  const shared = others.reduce<readonly Span[]>((spans, image) => common(spans, image.spans), first.spans);
  return shared
    .filter((span) => lengthOf(span) >= SHORTEST_RANGE)
    .map((span) => {
      const contents: Uint8Array[] = [];
      for (const image of images) {
        const bytes = image.read(span) as Uint8Array;
        if (!contents.some((seen) => sameBytes(seen, bytes))) contents.push(bytes);
      }
      return { address: span.start, length: lengthOf(span), contents };
    });
}
