import { common, lengthOf, type Span, subtract, totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { writtenIn } from "../unit/blank.js";

/** What a place looks like that does not hold what was meant. */
export type WriteFault =
  /** Erased memory where data was meant. */
  | "erased-left"
  /** Only bits that should have been programmed and read as erased. */
  | "bits-not-programmed"
  /** Only bits that should have been erased and read as programmed. */
  | "bits-not-erased"
  /** What the unit held before the write. */
  | "old-content"
  /** What was meant for other addresses. */
  | "shifted"
  | "unknown";

/** A stretch that does not hold what was meant, equal bytes inside of it included. */
export interface FaultyPlace {
  readonly span: Span;
  readonly fault: WriteFault;
  /** Unequal bytes. */
  readonly bytes: number;
  /** Bits that read as erased and should not, and that should and do not. */
  readonly stayed: number;
  readonly lost: number;
  /** With `shifted`: how many addresses further up than meant. */
  readonly by?: number;
}

/** The end of a write that was broken off. */
export interface CutWrite {
  /** The first address that does not hold what was meant, and one past the last. */
  readonly span: Span;
  readonly bytes: number;
  /** What stands there instead. */
  readonly tail: "erased" | "old" | "other";
}

/** What faults are told by. */
export interface WriteContext {
  readonly intended: Image;
  readonly read: Image;
  /** What the unit held before, where that is known. */
  readonly before?: Image | undefined;
  /** What an erased byte reads as; nothing is said of erased memory without it. */
  readonly erased: number | undefined;
  /** What both know and no unit writes by itself: sorted, disjoint. */
  readonly fixed: readonly Span[];
}

/** Equal bytes between two unequal ones that still make one place: pages fail as a whole, and hold equal bytes by chance. */
const gap = 32;
/** Displacements that are looked for: these, and powers of two. */
const longestShift = 4096;
const powers = Array.from({ length: 13 }, (_, i) => 2 ** (12 + i));
/** Bytes in which a displacement can be seen, values that they must hold, and places that are searched. */
const shiftLength = 24;
const shiftValues = 8;
const placesSearched = 32;
/** The share of what was meant that must differ for a tail to be taken for something else altogether. */
const tailShare = 0.9;
const tailLength = 256;

/** The end of the write, when it was broken off: everything from some address on is erased, old, or something else. */
export function cutOf(context: WriteContext, differing: readonly Span[]): CutWrite | undefined {
  const { read, before, erased, fixed } = context;
  const from = (start: number | undefined, tail: CutWrite["tail"]): CutWrite | undefined => {
    if (start === undefined) return undefined;
    const within = common(differing, [{ start, end: 2 ** 32 }]);
    const [first, last] = [within[0], within.at(-1)];
    if (!first || !last) return undefined;
    return { span: { start: first.start, end: last.end }, bytes: totalLength(within), tail };
  };
  return (
    from(
      erased === undefined ? undefined : startOfTail(fixed, (address) => read.byteAt(address) === erased),
      "erased",
    ) ??
    (before &&
      from(
        startOfTail(fixed, (address) => read.byteAt(address) === before.byteAt(address)),
        "old",
      ))
  );
}

/** Whether everything from the first unequal byte on is something else, down to chance. Asked when nothing else explains it. */
export function otherTailOf(
  { intended, erased, fixed }: WriteContext,
  differing: readonly Span[],
): CutWrite | undefined {
  const start = differing[0]?.start;
  const end = differing.at(-1)?.end;
  if (start === undefined || end === undefined) return undefined;
  const meantIn = (span: Span) => writtenIn(intended, common(fixed, [span]), erased).bytes;
  const meant = meantIn({ start, end });
  const bytes = totalLength(differing);
  // A write that broke off did well before, and did nothing after.
  const brokeOff = meantIn({ start: 0, end: start }) >= tailLength && meantIn({ start: end, end: 2 ** 32 }) === 0;
  return brokeOff && meant >= tailLength && bytes >= tailShare * meant
    ? { span: { start, end }, bytes, tail: "other" }
    : undefined;
}

/** The places of `differing`, each with what it looks like and none in two of the `parts`. */
export function faultyPlaces(
  context: WriteContext,
  differing: readonly Span[],
  parts: readonly (readonly Span[])[],
): readonly FaultyPlace[] {
  const outside = subtract(differing, parts.flat());
  const clusters = [...parts.map((spans) => common(differing, spans)), outside]
    .flatMap(clustersOf)
    .sort((a, b) => a.span.start - b.span.start);
  const shifts = new Set<number>();
  const found = clusters.map((cluster, i) => {
    const by = i < placesSearched ? shiftOf(context, cluster.span) : undefined;
    if (by !== undefined) shifts.add(by);
    return by;
  });
  return clusters.map((cluster, i) => {
    const by = found[i] ?? [...shifts].find((other) => matches(context, cluster.span, other) === 1);
    return placeOf(context, cluster, by);
  });
}

interface Cluster {
  readonly span: Span;
  readonly runs: readonly Span[];
}

function clustersOf(differing: readonly Span[]): Cluster[] {
  const clusters: { span: Span; runs: Span[] }[] = [];
  for (const run of differing) {
    const last = clusters.at(-1);
    if (last && run.start - last.span.end <= gap) {
      last.span = { start: last.span.start, end: run.end };
      last.runs.push(run);
    } else clusters.push({ span: run, runs: [run] });
  }
  return clusters;
}

function placeOf(context: WriteContext, { span, runs }: Cluster, by: number | undefined): FaultyPlace {
  const { intended, read, erased } = context;
  let [bytes, stayed, lost] = [0, 0, 0];
  for (const run of runs) {
    const meant = intended.read(run);
    const got = read.read(run);
    if (!meant || !got) continue;
    for (const [i, byte] of got.entries()) {
      const changed = byte ^ (meant[i] as number);
      if (changed !== 0) bytes++;
      const kept = erased === undefined ? 0 : changed & ~(byte ^ erased) & 0xff;
      stayed += onesIn(kept);
      lost += onesIn(changed) - onesIn(kept);
    }
  }
  const fault = by === undefined ? faultAt(context, span, stayed, lost) : "shifted";
  return { span, fault, bytes, stayed, lost, ...(by !== undefined && { by }) };
}

/** What a place that holds something else than was meant looks like; `stayed` and `lost` count its wrong bits. */
function faultAt({ read, before, erased }: WriteContext, span: Span, stayed: number, lost: number): WriteFault {
  const all = (holds: (byte: number, address: number) => boolean) =>
    read.within(span).every((part) => part.bytes.every((byte, i) => holds(byte, part.address + i)));
  if (erased !== undefined && all((byte) => byte === erased)) return "erased-left";
  if (before && all((byte, address) => byte === before.byteAt(address))) return "old-content";
  if (erased === undefined) return "unknown";
  if (lost === 0) return "bits-not-programmed";
  return stayed === 0 ? "bits-not-erased" : "unknown";
}

/** How far above its own place the content of `span` stands, when it stands anywhere else. */
function shiftOf(context: WriteContext, span: Span): number | undefined {
  const { read, intended } = context;
  if (lengthOf(span) < shiftLength) return undefined;
  const got = read.read(span);
  if (!got || new Set(got).size < shiftValues) return undefined;
  const middle = span.start + Math.floor(lengthOf(span) / 2) - 8;
  const probe = read.read({ start: middle, end: middle + 16 }) as Uint8Array;
  const may = (by: number) => {
    const start = middle - by;
    if (start < 0 || start + 16 > 2 ** 32) return false;
    for (let i = 0; i < 16; i++) if (intended.byteAt(start + i) !== probe[i]) return false;
    return matches(context, span, by) >= 0.95;
  };
  for (let by = 1; by <= longestShift; by++) {
    if (may(by)) return by;
    if (may(-by)) return -by;
  }
  for (const by of powers) {
    if (may(by)) return by;
    if (may(-by)) return -by;
  }
  return undefined;
}

/** The share of `span` that holds what was meant for `by` addresses further down. */
function matches({ read, intended }: WriteContext, span: Span, by: number): number {
  if (span.start - by < 0 || span.end - by > 2 ** 32) return 0;
  let equal = 0;
  for (let address = span.start; address < span.end; address++) {
    const byte = read.byteAt(address);
    if (byte !== undefined && byte === intended.byteAt(address - by)) equal++;
  }
  return equal / lengthOf(span);
}

/** Where the last stretch of `fixed` begins in which `holds` is true of every address; undefined when there is none. */
function startOfTail(fixed: readonly Span[], holds: (address: number) => boolean): number | undefined {
  let start: number | undefined;
  for (let i = fixed.length - 1; i >= 0; i--) {
    const span = fixed[i] as Span;
    for (let address = span.end - 1; address >= span.start; address--) {
      if (!holds(address)) return start;
      start = address;
    }
  }
  return start;
}

function onesIn(byte: number): number {
  let ones = 0;
  for (let rest = byte; rest > 0; rest >>= 1) ones += rest & 1;
  return ones;
}
