import { formatAddress } from "../bytes/hex.js";
import { lengthOf, type Span, totalLength } from "../bytes/span.js";
import { Refusal } from "../findings/refusal.js";
import type { Image } from "../image/image.js";
import { MEMORY_LIMIT } from "../profile/schema/profile.js";

/** One read that a profile is drafted from. */
export interface DraftRead {
  /** What the caller calls it. */
  readonly name: string;
  readonly image: Image;
}

/** What is told about the reads, each named by its index. */
export interface DraftTold {
  /** Reads of the left and of the right unit of one machine. */
  readonly pairs?: readonly (readonly [left: number, right: number])[];
  /** Two reads of one unit, the earlier one first. */
  readonly same?: readonly (readonly [earlier: number, later: number])[];
}

/** A unit of the family, with its reads in the order in which they were given. */
export interface FamilyUnit {
  readonly reads: readonly [number, ...number[]];
  readonly side: "left" | "right" | undefined;
}

/** A run of addresses that all reads know, with what each of them holds there. */
export interface Stretch {
  readonly start: number;
  readonly length: number;
  /** One for each read. */
  readonly contents: readonly Uint8Array[];
}

/** Reads of one family, put in order. */
export interface Family {
  readonly reads: readonly DraftRead[];
  readonly units: readonly FamilyUnit[];
  /** The units of each machine that was told, by index; no pair stands twice. */
  readonly pairs: readonly { readonly left: number; readonly right: number }[];
  readonly stretches: readonly Stretch[];
  /** What an erased byte reads as, where that shows. */
  readonly erased: number | undefined;
}

/** More reads do not tell more, and cost as much each. */
export const mostDraftReads = 16;
const mostBytes = 64 * 2 ** 20;
/** Shorter runs of one value may be content. */
export const shortestErased = 64;

/**
 * `reads` as units of one family.
 * @throws Refusal when there are fewer than two, they do not cover the same addresses, or what is told contradicts itself
 */
export function familyOf(reads: readonly DraftRead[], told: DraftTold = {}): Family {
  if (reads.length < 2 || reads.length > mostDraftReads) {
    throw new Refusal("draft/reads", `expected 2 to ${mostDraftReads} reads of one family, got ${reads.length}`);
  }
  const spans = sharedSpans(reads);
  const stretches = spans.map((span) => ({
    start: span.start,
    length: lengthOf(span),
    contents: reads.map(({ image }) => image.read(span) as Uint8Array),
  }));
  return { reads, ...unitsOf(reads, told), stretches, erased: erasedByte(stretches) };
}

/** The bytes of `span` in read `read`; undefined when not all of them lie in one stretch. */
export function bytesAt({ stretches }: Pick<Family, "stretches">, read: number, span: Span): Uint8Array | undefined {
  const stretch = stretches.find(({ start, length }) => span.start >= start && span.end <= start + length);
  return stretch?.contents[read]?.subarray(span.start - stretch.start, span.end - stretch.start);
}

/** The first read of a unit, by the index of the unit. */
export function firstRead({ units }: Pick<Family, "units">, unit: number): number {
  return (units[unit] as FamilyUnit).reads[0];
}

/** The image of the first read of a unit. */
export function imageOf(family: Pick<Family, "units" | "reads">, unit: number): Image {
  return (family.reads[firstRead(family, unit)] as DraftRead).image;
}

function sharedSpans(reads: readonly DraftRead[]): readonly Span[] {
  const [first, ...others] = reads as readonly [DraftRead, ...DraftRead[]];
  const { spans } = first.image;
  const shown = (all: readonly Span[]) =>
    all
      .slice(0, 3)
      .map(({ start, end }) => `${formatAddress(start)}..${formatAddress(end)}`)
      .join(", ") + (all.length > 3 ? ` and ${all.length - 3} more` : "");
  if (spans.length === 0)
    throw new Refusal("draft/empty", "expected a read with content, got none", { file: first.name });
  for (const { name, image } of others) {
    const own = image.spans;
    if (
      own.length === spans.length &&
      own.every((span, i) => span.start === spans[i]?.start && span.end === spans[i]?.end)
    )
      continue;
    throw new Refusal(
      "draft/other-addresses",
      `expected the addresses of ${first.name} (${shown(spans)}), got ${shown(own)}: fill the rows that a hex file leaves out`,
      { file: name },
    );
  }
  if (totalLength(spans) > mostBytes) {
    throw new Refusal("draft/too-large", `expected at most ${mostBytes} bytes in a read, got ${totalLength(spans)}`);
  }
  // A profile describes one memory: parts of one that lie far apart need a profile each.
  const extent = (spans.at(-1)?.end ?? 0) - (spans[0]?.start ?? 0);
  if (extent > MEMORY_LIMIT) {
    throw new Refusal(
      "draft/too-large",
      `expected addresses within ${MEMORY_LIMIT} bytes of each other, got ${shown(spans)}`,
    );
  }
  return spans;
}

function unitsOf(reads: readonly DraftRead[], { pairs = [], same = [] }: DraftTold): Pick<Family, "units" | "pairs"> {
  const unitOf = reads.map((_, i) => i);
  for (const [a, b] of same) {
    if (a === b) throw new Refusal("draft/told-twice", `same: expected two reads, got ${reads[a]?.name} twice`);
    const [from, to] = [unitOf[b] as number, unitOf[a] as number];
    for (const [i, unit] of unitOf.entries()) if (unit === from) unitOf[i] = to;
  }
  const numbers = [...new Set(unitOf)];
  const index = (read: number) => numbers.indexOf(unitOf[read] as number);
  const sides = new Map<number, "left" | "right">();
  const paired = new Map<number, number>();
  for (const [a, b] of pairs) {
    const [left, right] = [index(a), index(b)];
    const shown = `${reads[a]?.name} and ${reads[b]?.name}`;
    if (left === right) throw new Refusal("draft/pair-of-one", `pair: expected two units, got ${shown}, which are one`);
    for (const [unit, side, twin] of [
      [left, "left", right],
      [right, "right", left],
    ] as const) {
      if ((sides.get(unit) ?? side) !== side || (paired.get(unit) ?? twin) !== twin) {
        throw new Refusal("draft/told-twice", `pair: expected each unit on one side of one pair, got ${shown} besides`);
      }
      sides.set(unit, side);
      paired.set(unit, twin);
    }
  }
  return {
    units: numbers.map((number, unit) => ({
      reads: reads.flatMap((_, i) => (unitOf[i] === number ? [i] : [])) as [number, ...number[]],
      side: sides.get(unit),
    })),
    pairs: [...sides].flatMap(([left, side]) => (side === "left" ? [{ left, right: paired.get(left) as number }] : [])),
  };
}

/** FF or 00, whichever fills long runs of all reads; undefined when neither does. */
function erasedByte(stretches: readonly Stretch[]): number | undefined {
  const filled = (byte: number) => {
    let total = 0;
    for (const { contents, length } of stretches) {
      let run = 0;
      for (let at = 0; at <= length; at++) {
        if (at < length && contents.every((content) => content[at] === byte)) run++;
        else {
          if (run >= shortestErased) total += run;
          run = 0;
        }
      }
    }
    return total;
  };
  const [ones, zeros] = [filled(0xff), filled(0x00)];
  if (ones === 0 && zeros === 0) return undefined;
  return ones >= zeros ? 0xff : 0x00;
}
