import { checkedSpan, contains, lengthOf, MEMORY_END, type Span, spanOf, subtract } from "../bytes/span.js";

/** Bytes at consecutive addresses from `address` on. */
export interface Segment {
  readonly address: number;
  readonly bytes: Uint8Array;
}

/** The addresses that a segment fills. */
export function spanOfSegment(segment: Segment): Span {
  return { start: segment.address, end: segment.address + segment.bytes.length };
}

/**
 * What is known of a memory of 2**32 bytes: bytes at addresses, and holes where nothing is known. A hole is never
 * read as 00 or FF. Segments are sorted, disjoint, never adjacent and never empty, so equal contents means equal
 * segments. An image does not change; it keeps the arrays it was given, which must not be written to afterwards.
 */
export class Image {
  static readonly empty: Image = new Image([]);

  private constructor(readonly segments: readonly Segment[]) {}

  /**
   * The image of `parts`, given in any order; touching parts are joined (which copies them), lone ones are kept as
   * they are.
   * @throws RangeError when two parts overlap or one reaches past 2**32
   */
  static of(parts: readonly Segment[]): Image {
    const sorted = parts.filter((part) => part.bytes.length > 0).sort((a, b) => a.address - b.address);
    const segments: Segment[] = [];
    for (let i = 0; i < sorted.length; ) {
      const first = sorted[i] as Segment;
      let end = checkedSpan(spanOf(first.address, first.bytes.length)).end;
      let next = i + 1;
      for (; next < sorted.length && (sorted[next] as Segment).address <= end; next++) {
        const part = sorted[next] as Segment;
        if (part.address < end) throw new RangeError(`image: expected disjoint parts, got two at ${part.address}`);
        end = spanOf(part.address, part.bytes.length).end;
      }
      segments.push(next === i + 1 ? first : joined(sorted.slice(i, next), end));
      i = next;
    }
    return segments.length === 0 && Image.empty ? Image.empty : new Image(segments);
  }

  /** The bytes that are known, counted. */
  get length(): number {
    return this.segments.reduce((total, segment) => total + segment.bytes.length, 0);
  }

  /** Where something is known: sorted, disjoint, non-adjacent. */
  get spans(): readonly Span[] {
    return this.segments.map(spanOfSegment);
  }

  /** From the first known byte to the last, or undefined when nothing is known. */
  get bounds(): Span | undefined {
    const first = this.segments[0];
    const last = this.segments.at(-1);
    return first && last ? { start: first.address, end: spanOfSegment(last).end } : undefined;
  }

  /**
   * The bytes of `span`, or undefined when any of them is not known. The result is a view: it stays valid as long as
   * the image and must not be written to.
   * @throws RangeError when `span` is not inside 0 to 2**32
   */
  read(span: Span): Uint8Array | undefined {
    checkedSpan(span);
    if (span.start === span.end) return new Uint8Array(0);
    const segment = this.segments[this.#indexOf(span.start)];
    if (!segment || !contains(spanOfSegment(segment), span)) return undefined;
    return segment.bytes.subarray(span.start - segment.address, span.end - segment.address);
  }

  /** The byte at `address`, or undefined when it is not known. */
  byteAt(address: number): number | undefined {
    const segment = this.segments[this.#indexOf(address)];
    return segment && address >= segment.address ? segment.bytes[address - segment.address] : undefined;
  }

  /** The known parts of `span`, as views. */
  within(span: Span): readonly Segment[] {
    const parts: Segment[] = [];
    for (let i = this.#indexOf(span.start); i < this.segments.length; i++) {
      const segment = this.segments[i] as Segment;
      if (segment.address >= span.end) break;
      const start = Math.max(segment.address, span.start);
      const end = Math.min(spanOfSegment(segment).end, span.end);
      if (start < end) {
        parts.push({ address: start, bytes: segment.bytes.subarray(start - segment.address, end - segment.address) });
      }
    }
    return parts;
  }

  /** In how many pieces what is known of `span` lies, without a look at each. */
  piecesIn(span: Span): number {
    if (span.start >= span.end) return 0;
    const first = this.#indexOf(span.start);
    const last = this.#indexOf(span.end - 1);
    const segment = this.segments[last];
    return last - first + (segment && segment.address < span.end ? 1 : 0);
  }

  /** The parts of `span` that are not known. */
  gaps(span: Span): readonly Span[] {
    return subtract([checkedSpan(span)], this.within(span).map(spanOfSegment));
  }

  /** Only what lies in `span`, at the same addresses. */
  slice(span: Span): Image {
    return Image.of(this.within(checkedSpan(span)));
  }

  /** The same image with holes at `spans`. */
  without(spans: readonly Span[]): Image {
    return Image.of(subtract(this.spans, spans).flatMap((span) => this.within(span)));
  }

  /**
   * The same bytes `distance` addresses further up (down when negative).
   * @throws RangeError when one would leave 0 to 2**32
   */
  movedBy(distance: number): Image {
    return Image.of(this.segments.map(({ address, bytes }) => ({ address: address + distance, bytes })));
  }

  /** The same image with every hole inside `spans` filled with `byte`. Cost and memory grow with what is filled. */
  filled(spans: readonly Span[], byte: number): Image {
    const holes = subtract(spans, this.spans);
    if (holes.length === 0) return this;
    const fills = holes.map((hole) => ({ address: hole.start, bytes: new Uint8Array(lengthOf(hole)).fill(byte) }));
    return Image.of([...this.segments, ...fills]);
  }

  /** Whether both know the same addresses and the same bytes there. */
  equals(other: Image): boolean {
    return (
      this.segments.length === other.segments.length &&
      this.segments.every((segment, i) => {
        const twin = other.segments[i] as Segment;
        return segment.address === twin.address && sameBytes(segment.bytes, twin.bytes);
      })
    );
  }

  /** The segment that holds `address`, or else the first one above it. */
  #indexOf(address: number): number {
    let low = 0;
    let high = this.segments.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (spanOfSegment(this.segments[middle] as Segment).end <= address) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

/** Whether two arrays hold the same bytes. */
export function sameBytes(a: Uint8Array, b: Uint8Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

function joined(parts: readonly Segment[], end: number): Segment {
  const address = (parts[0] as Segment).address;
  if (end > MEMORY_END) throw new RangeError(`image: expected parts below ${MEMORY_END}, got one up to ${end}`);
  const bytes = new Uint8Array(end - address);
  for (const part of parts) bytes.set(part.bytes, part.address - address);
  return { address, bytes };
}
