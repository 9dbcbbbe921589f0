import { Image } from "../../core/src/image/image.js";
import { type FoundChecksum, seekChecksums } from "../../core/src/index.js";
import type { SeekCase, Truth } from "./cases.js";

/** How a search did in one case. */
export interface CaseOutcome {
  readonly truths: readonly {
    readonly truth: Truth;
    readonly decidable: boolean;
    readonly found: FoundChecksum | undefined;
  }[];
  /** What was called certain, or likely, and is not so. */
  readonly wrong: readonly FoundChecksum[];
  readonly all: readonly FoundChecksum[];
}

/** The outcome of one case as it is written down. */
export interface TableLine {
  readonly number: number;
  readonly size: number;
  readonly images: number;
  /** Of one processor. */
  readonly seconds: number;
  readonly truths: readonly {
    readonly algorithm: string;
    readonly layout: string;
    readonly decidable: boolean;
    readonly found: boolean;
    readonly range: { readonly start: number; readonly length: number } | undefined;
    readonly stored: number;
  }[];
  readonly wrong: readonly FoundChecksum[];
  readonly certain: number;
  readonly likely: number;
}

export function lineOf(
  number: number,
  { size, contents }: SeekCase,
  { truths, wrong, all }: CaseOutcome,
  seconds: number,
): TableLine {
  const count = (wanted: string) => all.filter(({ certainty }) => certainty === wanted).length;
  return {
    number,
    size,
    images: contents.length,
    seconds: Number(seconds.toFixed(2)),
    truths: truths.map(({ truth: { algorithm, layout, ranges, stored }, decidable, found }) => {
      return { algorithm, layout, decidable, found: found !== undefined, range: ranges[0], stored };
    }),
    wrong,
    certain: count("certain"),
    likely: count("likely"),
  };
}

/** Searches a case without being told anything. */
export function outcomeOf({ contents, truths, size }: SeekCase): CaseOutcome {
  const search = seekChecksums(contents.map((bytes) => Image.of([{ address: 0, bytes }])));
  let step = search.next();
  while (!step.done) step = search.next();
  const all = step.value.found;
  const told = all.filter(({ certainty }) => certainty !== "chance");
  return {
    truths: truths.map((truth) => ({
      truth,
      decidable: isDecidable(truth, size, contents.length),
      found: told.find((one) => isTrue(one, truth)),
    })),
    wrong: told.filter((one) => !truths.some((truth) => isTrue(one, truth))),
    all,
  };
}

/**
 * The same place and the same bytes covered: an algorithm that comes to the same there is right as well. What says that
 * the place is not told is right when range and value together are, and when it does not rule the true place out; what
 * says that an end lies anywhere in fill is right when it does.
 */
function isTrue(found: FoundChecksum, { ranges, stored, width, form }: Truth): boolean {
  const [{ start, length }] = ranges as [{ start: number; length: number }];
  const first = found.ranges[0] as { start: number };
  const last = found.ranges.at(-1) as { start: number; length: number };
  const { mayBegin = { from: first.start, to: first.start } } = found;
  const { mayEnd = { from: last.start + last.length, to: last.start + last.length } } = found;
  const covers = (from: number, to: number) =>
    from >= mayBegin.from && from <= mayBegin.to && to >= mayEnd.from && to <= mayEnd.to;
  if (form !== "value-and-complement" && found.stored.place === "not-told") {
    const { possible } = found.stored;
    const value = stored + width / 8;
    const apart = stored < start - width / 8 || stored > start + length;
    if (apart || found.stored.width !== width || possible?.at?.includes(stored) === false) return false;
    return covers(Math.min(start, stored), Math.max(start + length, value));
  }
  const bytes = form === "value-and-complement" ? width / 4 : width / 8;
  return (
    covers(start, start + length) &&
    found.stored.start >= stored &&
    found.stored.start < stored + bytes &&
    found.stored.width === width
  );
}

/** The ways in which a range may be checked in a plain search: algorithms and forms, orders, kinds of place. */
const waysBits = Math.log2(130 * 2 * 6);

/**
 * Whether a plain search would bring fewer than 0.01 hits of the kind by chance: all ranges whose ends are multiples of
 * the same block size, in all ways, and all places where the value stands apart. This asks nothing of the search itself.
 */
export function isDecidable(truth: Truth, size: number, images: number): boolean {
  const { grid, layout, form } = truth;
  const blocks = layout === "content-end" ? 16 : grid;
  const pairs =
    layout === "content-end" ? Math.log2(size / grid) + Math.log2(size / blocks) : 2 * Math.log2(size / blocks) - 1;
  const place = layout === "apart" ? Math.log2(size / 4) : layout === "header" ? 4 : 0;
  const hypotheses = (layout === "described" ? descriptorBits : pairs + place) + waysBits;
  const bits = bitsOfValue(truth);
  const complement = form === "value-and-complement" ? Math.log2(size / 4) - 4 : 0;
  return bits * images + Math.min(truth.width, complement) - hypotheses > Math.log2(100);
}

/** Pairs of words that bound a range are rare where they are none: an image holds fewer than 64. */
const descriptorBits = 6;

/** A sum of bytes never fills a wide register: that of n random ones lies within 2.5 times 74 * sqrt(n). */
function bitsOfValue({ algorithm, width, ranges }: Truth): number {
  const length = ranges.reduce((sum, range) => sum + range.length, 0);
  return algorithm.endsWith("-bytes") ? Math.min(width, Math.log2(2.5 * 74 * Math.sqrt(length))) : width;
}
