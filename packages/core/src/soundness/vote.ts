import { common, normalised, type Span, totalLength } from "../bytes/span.js";
import { differenceOf } from "../image/difference.js";
import { Image, type Segment } from "../image/image.js";

/** Several reads of one unit, voted byte by byte. */
export interface Vote {
  /** What more than half of the reads that know a byte agree on; where they do not there is a hole. */
  readonly image: Image;
  readonly reads: number;
  /** Bytes that not all reads agree on, settled by a majority. */
  readonly settled: number;
  /** Bytes without a majority, and where: sorted, disjoint. At most `spansListed` spans. */
  readonly open: number;
  readonly openSpans: readonly Span[];
  /** Bytes that at least one read does not know. */
  readonly partial: number;
}

/** Spans that a vote lists at the most; the count goes on. */
export const spansListed = 100_000;

/**
 * The vote of `images`. A byte needs more than half of the reads that know it, and at least two: with two reads that
 * differ, and where an even number is split in halves, nothing is settled and nothing is made up.
 */
export function voteOf(images: readonly Image[]): Vote {
  const parts: Segment[] = [];
  const openSpans: Span[] = [];
  let [settled, open, partial] = [0, 0, 0];
  for (const span of piecesOf(images)) {
    const known = images.flatMap((image) => image.read(span) ?? []);
    const bytes = new Uint8Array(span.end - span.start);
    if (known.length < images.length) partial += bytes.length;
    const first = known[0] as Uint8Array;
    let from = 0;
    const close = (to: number) => {
      if (to > from) parts.push({ address: span.start + from, bytes: bytes.subarray(from, to) });
    };
    for (let i = 0; i < bytes.length; i++) {
      const byte = first[i] as number;
      let alike = 1;
      for (let k = 1; k < known.length; k++) if ((known[k] as Uint8Array)[i] === byte) alike++;
      // What one read alone knows nobody confirms.
      const winner = known.length < 2 ? undefined : alike === known.length ? byte : majorityOf(known, i);
      if (winner === undefined) {
        open++;
        const last = openSpans.at(-1);
        const address = span.start + i;
        if (last?.end === address) openSpans[openSpans.length - 1] = { start: last.start, end: address + 1 };
        else if (openSpans.length < spansListed) openSpans.push({ start: address, end: address + 1 });
        close(i);
        from = i + 1;
        continue;
      }
      bytes[i] = winner;
      if (alike < known.length) settled++;
    }
    close(bytes.length);
  }
  return { image: Image.of(parts), reads: images.length, settled, open, openSpans, partial };
}

/** The number of the image that differs least from `voted`: the first of several. */
export function nearestTo(voted: Image, images: readonly Image[]): number {
  const distances = images.map((image) => {
    const { bytes, onlyFirst, onlySecond } = differenceOf(voted, image);
    return bytes + totalLength([...onlyFirst, ...onlySecond]);
  });
  return distances.indexOf(Math.min(...distances));
}

function majorityOf(known: readonly Uint8Array[], at: number): number | undefined {
  // Boyer and Moore: the only value that can hold more than half, then counted.
  let candidate = 0;
  let lead = 0;
  for (const bytes of known) {
    const byte = bytes[at] as number;
    if (lead === 0) candidate = byte;
    lead += byte === candidate ? 1 : -1;
  }
  let count = 0;
  for (const bytes of known) if (bytes[at] === candidate) count++;
  return 2 * count > known.length && count > 1 ? candidate : undefined;
}

/** Everything that any read knows, cut so that each piece is known wholly or not at all by each read. */
function piecesOf(images: readonly Image[]): Span[] {
  const all = normalised(images.flatMap(({ spans }) => spans));
  const borders = [...new Set(images.flatMap(({ spans }) => spans.flatMap(({ start, end }) => [start, end])))].sort(
    (a, b) => a - b,
  );
  const cells = borders.slice(1).map((end, i) => ({ start: borders[i] as number, end }));
  return common(all, all).length === 0
    ? []
    : cells.filter((cell) => all.some(({ start, end }) => start <= cell.start && cell.end <= end));
}
