import { toHex } from "../bytes/hex.js";
import { lengthOf, type Span, totalLength } from "../bytes/span.js";
import { isPrintable } from "../bytes/text.js";
import { type Difference, differenceOf } from "../image/difference.js";
import type { Image } from "../image/image.js";
import { oneByteOf } from "../unit/blank.js";
import { displaced } from "./displaced.js";

/** What a cluster of differences looks like. It is a likeness, never a proof: a changed operand looks like a flag. */
export type ClusterKind = "text" | "flag" | "complement" | "reordered" | "checksum-like" | "dense" | "other";

/** Runs that lie close together. */
export interface DifferenceCluster {
  readonly span: Span;
  readonly bytes: number;
  readonly runs: number;
  readonly kind: ClusterKind;
  /** The differing stretch as hex, at most 16 bytes of it. */
  readonly left: string;
  readonly right: string;
  /** Printable text around it in the left and the right image, where there is any. Not escaped. */
  readonly text: readonly [string, string] | undefined;
}

/** Two images of which nothing is known but their bytes. */
export interface Likeness {
  readonly difference: Difference;
  /** The one byte that everything is which only one of the two holds, if it is one. */
  readonly beyond: number | undefined;
  readonly bytes: { readonly left: number; readonly right: number };
  /** Places that both know and where at least one holds something else than 00 or FF, counted. */
  readonly content: number;
  /** The share of those places at which both hold the same byte; undefined when there are none. */
  readonly share: number | undefined;
  /**
   * How far the left image has to be moved (down when negative) to be like the right one, and the share then; told where
   * few places are equal as they are.
   */
  readonly moved: { readonly by: number; readonly share: number } | undefined;
  /** Which image lies wholly and unchanged inside the other. */
  readonly inside: "left" | "right" | "both" | undefined;
  readonly clusters: readonly DifferenceCluster[];
  readonly clusterCount: number;
}

/** Bytes between two runs that still belong together: about a line of a hex listing on either side. */
const nearness = 32;
const clustersDescribed = 32;
/** Below this share of equal places another place for all of them is looked for. */
const fewEqual = 0.5;

/** How alike two images are, and what their differences look like. */
export function measureLikeness(left: Image, right: Image): Likeness {
  const difference = differenceOf(left, right);
  const content = contentPlaces(left, right, difference);
  const same = difference.bytes === 0;
  const inLeft = same && difference.onlySecond.length === 0;
  const inRight = same && difference.onlyFirst.length === 0;
  const share = content === 0 ? undefined : 1 - difference.bytes / content;
  const groups = grouped(difference.runs);
  return {
    difference,
    beyond: beyondBoth(left, right, difference),
    bytes: { left: left.length, right: right.length },
    content,
    share,
    moved: difference.compared === 0 || (share ?? 1) < fewEqual ? likenessMoved(left, right) : undefined,
    inside: inLeft && inRight ? "both" : inRight ? "left" : inLeft ? "right" : undefined,
    clusters: groups.slice(0, clustersDescribed).map((runs) => describe(runs, left, right)),
    clusterCount: groups.length,
  };
}

/** Which share of the content is equal when the left image is moved, where that makes pieces of it equal. */
function likenessMoved(left: Image, right: Image): { readonly by: number; readonly share: number } | undefined {
  const found = displaced(left, right);
  if (!found) return undefined;
  const difference = differenceOf(found.moved, right);
  const content = contentPlaces(found.moved, right, difference);
  return content === 0 ? undefined : { by: found.by, share: 1 - difference.bytes / content };
}

function beyondBoth(left: Image, right: Image, { onlyFirst, onlySecond }: Difference): number | undefined {
  const values = [
    ...(onlyFirst.length > 0 ? [oneByteOf({ image: left }, onlyFirst)] : []),
    ...(onlySecond.length > 0 ? [oneByteOf({ image: right }, onlySecond)] : []),
  ];
  return values.every((value) => value === values[0]) ? values[0] : undefined;
}

/** Every differing byte is content; of the equal ones only those that are not 00 or FF. */
function contentPlaces(left: Image, right: Image, difference: Difference): number {
  let fill = 0;
  for (const segment of left.segments) {
    for (const part of right.within({ start: segment.address, end: segment.address + segment.bytes.length })) {
      const own = segment.bytes.subarray(
        part.address - segment.address,
        part.address - segment.address + part.bytes.length,
      );
      for (let i = 0; i < own.length; i++) {
        const byte = own[i] as number;
        if ((byte === 0 || byte === 0xff) && byte === part.bytes[i]) fill++;
      }
    }
  }
  return difference.compared - fill;
}

function grouped(runs: readonly Span[]): Span[][] {
  const groups: Span[][] = [];
  for (const run of runs) {
    const last = groups.at(-1);
    if (last && run.start - (last.at(-1) as Span).end <= nearness) last.push(run);
    else groups.push([run]);
  }
  return groups;
}

function describe(runs: readonly Span[], left: Image, right: Image): DifferenceCluster {
  const span = { start: (runs[0] as Span).start, end: (runs.at(-1) as Span).end };
  // A cluster never spans a hole that only one image has, but it may span one that both have: then the first run stands for it.
  const whole = left.read(span) && right.read(span) ? span : (runs[0] as Span);
  const a = left.read(whole) as Uint8Array;
  const b = right.read(whole) as Uint8Array;
  const around = { start: Math.max(0, whole.start - 4), end: Math.min(2 ** 32, whole.end + 4) };
  return {
    span,
    bytes: totalLength(runs),
    runs: runs.length,
    kind: kindOf(a, b, whole, left, right),
    left: toHex(a.subarray(0, 16)),
    right: toHex(b.subarray(0, 16)),
    text:
      isText(left, around) && isText(right, around) ? [textAround(left, whole), textAround(right, whole)] : undefined,
  };
}

function kindOf(a: Uint8Array, b: Uint8Array, span: Span, left: Image, right: Image): ClusterKind {
  const around = { start: Math.max(0, span.start - 4), end: Math.min(2 ** 32, span.end + 4) };
  if (isText(left, around) && isText(right, around)) return "text";
  if (a.length >= 2 && a.every((byte, i) => byte + (b[i] as number) === 255)) return "complement";
  if (a.length >= 4 && sameElements(a, b)) return "reordered";
  if (a.length === 1) return (a[0] as number) < 16 && (b[0] as number) < 16 ? "flag" : "other";
  if (a.length <= 4 && span.end % 2 === 0 && endsContent(left, span.end)) return "checksum-like";
  return a.length >= 16 && isDense(a) && isDense(b) ? "dense" : "other";
}

function isText(image: Image, span: Span): boolean {
  const bytes = image.read(span);
  return (
    bytes?.every((byte) => isPrintable(byte) || byte === 0) === true &&
    bytes.filter(isPrintable).length >= lengthOf(span) / 2
  );
}

function textAround(image: Image, span: Span): string {
  let { start, end } = span;
  const printable = (address: number) => isPrintable(image.byteAt(address) ?? 0);
  while (start > 0 && span.start - start < 24 && printable(start - 1)) start--;
  while (end - span.end < 24 && end < 2 ** 32 && printable(end)) end++;
  return [...(image.read({ start, end }) ?? [])]
    .map((byte) => (isPrintable(byte) ? String.fromCharCode(byte) : "\0"))
    .join("");
}

function sameElements(a: Uint8Array, b: Uint8Array): boolean {
  const counts = new Int32Array(256);
  for (const byte of a) counts[byte] = (counts[byte] as number) + 1;
  for (const byte of b) counts[byte] = (counts[byte] as number) - 1;
  return counts.every((count) => count === 0);
}

/** Whether nothing but erased memory, a hole or the end follows. */
function endsContent(image: Image, address: number): boolean {
  for (let i = 0; i < 8; i++) {
    const byte = image.byteAt(address + i);
    if (byte !== undefined && byte !== 0xff) return false;
  }
  return true;
}

/** Whether hardly any byte value occurs twice, as in a key or a digest. */
function isDense(bytes: Uint8Array): boolean {
  return new Set(bytes).size >= 0.85 * Math.min(bytes.length, 200);
}
