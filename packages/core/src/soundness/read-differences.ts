import { type Span, subtract } from "../bytes/span.js";
import { differenceOf, differingSpans } from "../image/difference.js";
import type { Image } from "../image/image.js";

/** How one read differs from the first, outside of what the unit writes by itself. */
export interface ReadDifference {
  /** Number of the read, from 1 for the second. */
  readonly read: number;
  readonly bytes: number;
  /** The first of the runs that differ, and how many there are; stretches beyond what is listed count as one. */
  readonly runs: readonly Span[];
  readonly runCount: number;
  /** Bits that are 1 in this read only, and those that are 0 in it only. */
  readonly raised: number;
  readonly lowered: number;
  /** Bytes that differ where the unit writes by itself. */
  readonly volatile: number;
  /** What only one of the two reads knows, outside of what the unit writes by itself. */
  readonly oneSided: readonly Span[];
  /** The only bit that differs, by place in a word of the bus; undefined when more do. */
  readonly dataLine: { readonly bus: 8 | 16 | 32; readonly lane: number; readonly bit: number } | undefined;
  /** The address line across which the differing bytes are found in the other read. */
  readonly addressLine: { readonly line: number; readonly explained: number } | undefined;
  /** From where on this read is the first one, displaced by so many bytes (positive: bytes were put in). */
  readonly shift: { readonly from: number; readonly by: number } | undefined;
}

/** Differing places that statistics look at, and the fewest that say anything. */
const looked = 20_000;
const enough = 8;
const runsKept = 1000;
const longestShift = 4096;

/** How every further read of one unit differs from the first; `volatile` is what is left out for the read of that number. */
export function measureReads(
  images: readonly Image[],
  context: { readonly volatile?: (read: number) => readonly Span[] } = {},
): ReadDifference[] {
  const { volatile = () => [] } = context;
  const [first, ...others] = images;
  return first ? others.map((other, i) => differenceBetween(first, other, i + 1, volatile(i + 1))) : [];
}

function differenceBetween(first: Image, other: Image, read: number, volatile: readonly Span[]): ReadDifference {
  const difference = differenceOf(first, other);
  const { bytes: all, onlyFirst, onlySecond } = difference;
  // Gone through byte by byte: what a list of runs has no room for holds equal bytes too.
  const fixed = subtract(differingSpans(difference), volatile);
  const places: number[] = [];
  const bits = [new Uint32Array(8), new Uint32Array(8), new Uint32Array(8), new Uint32Array(8)];
  let [bytes, raised, lowered] = [0, 0, 0];
  for (const span of fixed) {
    const own = first.read(span) as Uint8Array;
    const its = other.read(span) as Uint8Array;
    for (let i = 0; i < own.length; i++) {
      const changed = (own[i] as number) ^ (its[i] as number);
      if (changed === 0) continue;
      const address = span.start + i;
      bytes++;
      if (places.length < looked) places.push(address);
      for (let bit = 0; bit < 8; bit++) {
        if (((changed >> bit) & 1) === 0) continue;
        if (((its[i] as number) >> bit) & 1) raised++;
        else lowered++;
        const counts = bits[address % 4] as Uint32Array;
        counts[bit] = (counts[bit] as number) + 1;
      }
    }
  }
  return {
    read,
    bytes,
    runs: fixed.slice(0, runsKept),
    runCount: fixed.length,
    raised,
    lowered,
    volatile: all - bytes,
    oneSided: subtract([...onlyFirst, ...onlySecond], volatile),
    dataLine: bytes < enough ? undefined : dataLineOf(bits),
    addressLine: bytes < enough ? undefined : addressLineOf(first, other, places),
    shift: bytes < enough ? undefined : shiftOf(first, other, places[0] as number),
  };
}

function dataLineOf(bits: readonly Uint32Array[]): ReadDifference["dataLine"] {
  const hit = bits.flatMap((counts, lane) => [...counts].flatMap((count, bit) => (count > 0 ? [{ lane, bit }] : [])));
  const bit = hit[0]?.bit;
  if (bit === undefined || hit.some((one) => one.bit !== bit)) return undefined;
  const lanes = hit.map(({ lane }) => lane);
  if (lanes.length === 1) return { bus: 32, lane: lanes[0] as number, bit };
  const halves = new Set(lanes.map((lane) => lane % 2));
  return halves.size === 1 ? { bus: 16, lane: (lanes[0] as number) % 2, bit } : { bus: 8, lane: 0, bit };
}

function addressLineOf(first: Image, other: Image, places: readonly number[]): ReadDifference["addressLine"] {
  let best: { line: number; explained: number } | undefined;
  for (let line = 0; line < 32; line++) {
    const step = 2 ** line;
    let explained = 0;
    for (const [i, address] of places.entries()) {
      if (i === 256 && explained < 64) break;
      const across = address + (Math.floor(address / step) % 2 === 0 ? step : -step);
      const [own, its] = [first.byteAt(address), other.byteAt(address)];
      // What reads as blank memory stands everywhere: it comes from no other address.
      if ((its === first.byteAt(across) && !isFill(its)) || (own === other.byteAt(across) && !isFill(own))) explained++;
    }
    if (explained > (best?.explained ?? 0)) best = { line, explained };
  }
  return best && best.explained >= 0.9 * places.length ? best : undefined;
}

function isFill(byte: number | undefined): boolean {
  return byte === 0x00 || byte === 0xff;
}

/** A displacement that makes the reads equal again over the 256 bytes that start 64 bytes behind the first difference. */
function shiftOf(first: Image, other: Image, from: number): ReadDifference["shift"] {
  const rest = other.within({ start: from, end: 2 ** 32 })[0]?.bytes;
  const own = first.within({ start: from, end: 2 ** 32 })[0]?.bytes;
  if (!rest || !own) return undefined;
  const window = 256;
  for (const [sign, fixed, moved] of [
    [1, own, rest],
    [-1, rest, own],
  ] as const) {
    for (let by = 1; by <= longestShift; by++) {
      // The place itself may differ in what was put in or lost, so the comparison starts behind it.
      const start = 64;
      if (start + by + window > moved.length || start + window > fixed.length) break;
      let equal = 0;
      while (equal < window && fixed[start + equal] === moved[start + by + equal]) equal++;
      if (equal === window && new Set(fixed.subarray(start, start + window)).size >= 16) return { from, by: sign * by };
    }
  }
  return undefined;
}
