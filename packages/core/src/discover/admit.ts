import type { RangeCost } from "./boundaries.js";
import { evidenceOf } from "./evidence.js";
import type { Family } from "./family.js";
import { type Ground, SHORTEST_RANGE } from "./ground.js";
import type { Hit, Place } from "./hit.js";
import { isTrivial, type Site, valueAt } from "./site.js";

/** What each kind of place costs in bits, as a share of the belief. */
export const placeBits: Readonly<Record<Place, number>> = {
  after: 1.5,
  before: 2.5,
  inside: 3,
  apart: 4,
  described: 3,
  whole: 3.5,
};
const complementBits = 2;
const plainBits = 0.42;

/** What is further from being decided than this is dropped. Values that stand apart may come to something together. */
const worstOdds = 3;
export const worstOddsApart = 12;

/** By how many bits a range that is kept may cost more than it proves, when no complement stands beside its value. */
export const mostSpare = worstOdds;

/** A range of one family that came out right in every content. */
export interface Candidate
  extends Pick<
    Hit,
    "variant" | "order" | "place" | "start" | "end" | "stored" | "counted" | "constant" | "descriptor"
  > {
  /** What the family's keys give, one for each content. */
  readonly raws: readonly number[];
  readonly cost: RangeCost;
  /** What the place costs within its kind. */
  readonly within?: number;
}

/** `candidate` as a hit, when it is worth keeping. */
export function admitted(site: Site, family: Family, familyIndex: number, candidate: Candidate): Hit | undefined {
  const { variant, order, place, start, end, stored, raws, cost, within = 0, ...rest } = candidate;
  if (end - start < SHORTEST_RANGE) return undefined;
  const { contents } = site.ground;
  const bytes = family.width / 8;
  if (place !== "whole") {
    if (place !== "inside" && stored < end && stored + bytes > start) return undefined;
    if (contents.some((content) => isTrivial(valueAt(content, stored, bytes, order), family.width))) return undefined;
  }
  // What is quickly seen first: in fill and in copies very much comes out right.
  if (family.kind === "xor" && site.cancels(bytes as 1 | 2 | 4, start, end, place === "inside" ? 0 : (raws[0] ?? 0))) {
    return undefined;
  }
  const complement = place === "whole" ? 0 : complementBeside(site.ground, stored, bytes, start, end);
  const complemented = complement !== 0;
  const beside = complemented ? site.bitsOfComplement(bytes) : 0;
  // A place that is looked at because of its complement is one of all places, and the complement is evidence.
  const ofPlace = place === "apart" && complemented ? Math.max(within, Math.log2(site.ground.length / bytes)) : within;
  const rangeBits = site.bits + cost.bits + ofPlace;
  const least = rangeBits - (place === "apart" ? worstOddsApart : worstOdds) - beside;
  if (site.bitsIn(0, family.kind, start, end) * contents.length < least) return undefined;
  const evidence = beside + evidenceOf(site, family, { place, start, end }, raws);
  if (evidence - beside < least) return undefined;
  const { bits } = family.variants[variant] as Family["variants"][number];
  return {
    ground: site.index,
    family: familyIndex,
    variant,
    order,
    place,
    start,
    end,
    stored,
    complemented,
    ...rest,
    schemeBits:
      family.bits + bits + (family.width > 8 ? 1 : 0) + placeBits[place] + (complemented ? complementBits : plainBits),
    rangeBits,
    withinBits: ofPlace,
    kind: cost.kind,
    kindBits: cost.kindBits,
    evidence,
  };
}

/** Whether the complement of the stored value stands behind it (1) or before it (-1), outside of the range if there is one. */
export function complementBeside({ contents, length }: Ground, stored: number, bytes: number, start = 0, end = 0) {
  for (const side of [1, -1] as const) {
    const at = stored + side * bytes;
    if (at < 0 || at + bytes > length || (at < end && at + bytes > start)) continue;
    const all = contents.every((content) => {
      for (let i = 0; i < bytes; i++)
        if ((content[stored + i] as number) + (content[at + i] as number) !== 255) return false;
      return true;
    });
    if (all) return side;
  }
  return 0;
}
