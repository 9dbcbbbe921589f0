import { updateWithFill } from "../algorithms/running.js";
import type { Span } from "../bytes/span.js";
import { fromLatin1 } from "../bytes/text.js";
import type { Image } from "../image/image.js";

/** What takes in a stream of bytes, piece by piece. */
export interface Sink {
  update(bytes: Uint8Array): unknown;
}

/** Feeds ASCII text. */
export function feedText(sink: Sink, text: string): void {
  sink.update(fromLatin1(text) as Uint8Array);
}

/** Feeds the bytes of `span` in address order, each byte that is not known as `fill`. Nothing is copied. */
export function feedSpan(sink: Sink, image: Image, span: Span, fill: number): void {
  const feedHole = (length: number) => length > 0 && updateWithFill((bytes) => sink.update(bytes), fill, length);
  let at = span.start;
  for (const { address, bytes } of image.within(span)) {
    feedHole(address - at);
    sink.update(bytes);
    at = address + bytes.length;
  }
  feedHole(span.end - at);
}
