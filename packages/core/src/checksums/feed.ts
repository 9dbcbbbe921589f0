import type { Algorithm } from "../algorithms/algorithm.js";
import { intersection, lengthOf, type Span } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import type { ChecksumRule } from "../profile/schema/checksum.js";

/** What is fed to an algorithm: bytes of the image, or a byte repeated. */
export type Piece = Span | { readonly fill: number; readonly length: number };

/** What a checksum takes in, in its order, and what it lacks. */
export interface Feed {
  readonly pieces: readonly Piece[];
  /** Counted in bytes. */
  readonly length: number;
  /** What it covers that is not known; none when the profile says what to take there. */
  readonly gaps: readonly Span[];
}

export function isSpan(piece: Piece): piece is Span {
  return "start" in piece;
}

/** The pieces that `over` comes to in `image`: with the stored value and the gaps taken as the rule says. */
export function feedOf(
  rule: Pick<ChecksumRule, "gaps" | "inside">,
  over: readonly Span[],
  storedAt: Span | undefined,
  image: Image,
): Feed {
  const pieces: Piece[] = [];
  const gaps: Span[] = [];
  const addFill = (fill: number, length: number) => pieces.push({ fill, length });

  const addKnown = (span: Span) => {
    const missing = image.gaps(span);
    let at = span.start;
    for (const gap of missing) {
      if (gap.start > at) pieces.push({ start: at, end: gap.start });
      if (rule.gaps === "refuse") gaps.push(gap);
      else if (rule.gaps !== "leave-out") addFill(rule.gaps.fill, lengthOf(gap));
      at = gap.end;
    }
    if (at < span.end) pieces.push({ start: at, end: span.end });
  };

  for (const span of over) {
    const own = rule.inside === undefined || !storedAt ? undefined : intersection(span, storedAt);
    if (!own) {
      addKnown(span);
      continue;
    }
    addKnown({ start: span.start, end: own.start });
    if (rule.inside !== "leave-out" && rule.inside) addFill(rule.inside.fill, lengthOf(own));
    addKnown({ start: own.end, end: span.end });
  }
  const kept = pieces.filter((piece) => (isSpan(piece) ? piece.end > piece.start : piece.length > 0));
  return { pieces: kept, length: kept.reduce((total, piece) => total + sizeOf(piece), 0), gaps };
}

function sizeOf(piece: Piece): number {
  return isSpan(piece) ? lengthOf(piece) : piece.length;
}

/** The same feed with 00 for everything but the stored value. */
export function silenced(pieces: readonly Piece[], storedAt: Span): readonly Piece[] {
  return pieces.flatMap((piece) => {
    if (!isSpan(piece)) return [{ fill: 0, length: piece.length }];
    const own = intersection(piece, storedAt);
    if (!own) return [{ fill: 0, length: lengthOf(piece) }];
    return [{ fill: 0, length: own.start - piece.start }, own, { fill: 0, length: piece.end - own.end }];
  });
}

/** A few bytes that stand in for what the image holds at an address. */
export interface Overlay {
  readonly at: Span;
  readonly bytes: Uint8Array;
}

/** What `algorithm` gives for `pieces`, every byte of which is known. */
export function valueFrom(algorithm: Algorithm, pieces: readonly Piece[], image: Image, overlay?: Overlay): bigint {
  const running = algorithm.start();
  const feed = (span: Span) => {
    for (const { bytes } of image.within(span)) running.update(bytes);
  };
  for (const piece of pieces) {
    const own = overlay && isSpan(piece) ? intersection(piece, overlay.at) : undefined;
    if (!isSpan(piece)) running.fill(piece.fill, piece.length);
    else if (!own || !overlay) feed(piece);
    else {
      feed({ start: piece.start, end: own.start });
      running.update(overlay.bytes.subarray(own.start - overlay.at.start, own.end - overlay.at.start));
      feed({ start: own.end, end: piece.end });
    }
  }
  return running.value();
}
