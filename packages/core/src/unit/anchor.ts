import { fromHex } from "../bytes/hex.js";
import { occurrences } from "../bytes/occurrences.js";
import { fromLatin1 } from "../bytes/text.js";
import type { Image, Segment } from "../image/image.js";
import type { Anchor } from "../profile/schema/quantity.js";
import type { Found } from "./place.js";

/**
 * How many bytes all different anchors of a profile together may be looked for in: a profile is not trusted to ask for
 * little, and what it costs is to grow with what is there.
 */
const effortFor = (image: Image) => 256 * 1024 * 1024 + 64 * image.length;

/** The anchors of one image. */
export class Anchors {
  readonly #known = new Map<string, Found<number>>();
  #searched = 0;

  constructor(readonly image: Image) {}

  /** How many bytes were gone through. */
  get searched(): number {
    return this.#searched;
  }

  /** Just past the one place where the anchor's bytes stand. Two places are an obstacle: which one is meant is not known. */
  endOf(anchor: Anchor): Found<number> {
    const key = JSON.stringify([anchor.text, anchor.hex, anchor.within?.start, anchor.within?.length]);
    const known = this.#known.get(key);
    if (known) return known;
    const found = this.#look(anchor);
    this.#known.set(key, found);
    return found;
  }

  #look({ text, hex, within }: Anchor): Found<number> {
    const wanted = hex === undefined ? fromLatin1(text as string) : fromHex(hex);
    const shown = text ?? hex ?? "";
    if (!wanted) return { obstacle: { kind: "anchor-missing", anchor: shown } };
    const parts = within
      ? this.image.within({ start: within.start, end: within.start + within.length })
      : this.image.segments;
    this.#searched += parts.reduce((sum, { bytes }) => sum + bytes.length, 0);
    if (this.#searched > effortFor(this.image)) return { obstacle: { kind: "anchors-many", anchor: shown } };
    return onlyIn(parts, wanted, shown);
  }
}

function onlyIn(parts: readonly Segment[], wanted: Uint8Array, anchor: string): Found<number> {
  let first: number | undefined;
  for (const { address: start, bytes } of parts) {
    for (const at of occurrences(bytes, wanted)) {
      const address = start + at;
      if (first !== undefined) return { obstacle: { kind: "anchor-ambiguous", anchor, first, second: address } };
      first = address;
    }
  }
  return first === undefined ? { obstacle: { kind: "anchor-missing", anchor } } : { value: first + wanted.length };
}
