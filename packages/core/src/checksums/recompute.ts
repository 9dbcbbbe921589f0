import type { Accelerators } from "../algorithms/algorithm.js";
import { common, lengthOf, overlap, type Span } from "../bytes/span.js";
import { Image, sameBytes } from "../image/image.js";
import type { Profile } from "../profile/schema/profile.js";
import { describeUnit, type Unit } from "../unit/unit.js";
import type { Absence } from "./absence.js";
import { balancingBytes } from "./balance.js";
import { type Feed, feedOf, isSpan, valueFrom } from "./feed.js";
import { shownStored, storedBytes } from "./form.js";
import { obstacleOf } from "./obstacle.js";
import { inOrder } from "./order.js";
import { type PlacedChecksum, placeChecksums } from "./placed.js";

/** Why a checksum was left as it is. */
export type LeftReason =
  | Absence
  /** It covers the stored value of another that, directly or not, covers its own: no order places them all. */
  | { readonly kind: "circle"; readonly names: readonly string[] }
  /** Another checksum is stored in the same bytes. */
  | { readonly kind: "shared-place"; readonly with: string }
  /** No stored value was found that makes the whole come to its constant. */
  | { readonly kind: "no-solution" };

/** An image whose checksums were placed anew. */
export interface Recomputed {
  readonly image: Image;
  /** What was changed, in the order in which it was placed; values as a report shows them. */
  readonly changes: readonly ChecksumChange[];
  /** What could not be placed. */
  readonly left: readonly { readonly name: string; readonly at?: Span; readonly reason: LeftReason }[];
}

export interface ChecksumChange {
  readonly name: string;
  readonly at: Span;
  readonly before: string;
  readonly after: string;
}

interface Job {
  readonly placed: PlacedChecksum;
  readonly at: Span;
  readonly from: readonly Span[];
  readonly feed: Feed;
}

/**
 * `image` with every checksum of `profile` that can be computed put in its place, those that others cover first. Bytes
 * in which no checksum is stored stay as they are; an image in which all hold comes back as it is.
 */
export function recomputeChecksums(image: Image, profile: Profile, accelerators: Accelerators = {}): Recomputed {
  const unit = describeUnit(image, profile);
  const { able, left } = sorted(unit, accelerators);
  const { order, circular } = inOrder(able);
  const names = circular.map(({ placed }) => placed.name);
  for (const { placed, at } of circular) left.push({ name: placed.name, at, reason: { kind: "circle", names } });

  // The copy is written to until it is handed out, so that each checksum sees those that were placed before it.
  const draft = Image.of(unit.image.segments.map(({ address, bytes }) => ({ address, bytes: bytes.slice() })));
  const changes: ChecksumChange[] = [];
  for (const { placed, at, feed } of order) {
    const { rule, name } = placed;
    const place = draft.read(at) as Uint8Array;
    const right = rightBytes(placed, feed, at, draft);
    if (!right) left.push({ name, at, reason: { kind: "no-solution" } });
    else if (!sameBytes(place, right)) {
      changes.push({ name, at, before: shownStored(rule, place), after: shownStored(rule, right) });
      place.set(right);
    }
  }
  if (changes.length === 0) return { image, changes, left };
  // Holes that were read as erased stay holes, except where a value was put.
  const kept = common(unit.image.spans, [...image.spans, ...changes.map(({ at }) => at)]);
  return { image: Image.of(kept.flatMap((span) => draft.within(span))), changes, left };
}

/** The checksums that can be computed, and the others with their reasons. */
function sorted(unit: Unit, accelerators: Accelerators): { able: Job[]; left: Recomputed["left"][number][] } {
  const able: Job[] = [];
  const left: Recomputed["left"][number][] = [];
  for (const placed of placeChecksums(unit, accelerators)) {
    const at = placed.storedAt;
    const feed = at && !placed.absence ? feedOf(placed.rule, placed.over, at, unit.image) : undefined;
    const reason = placed.absence ?? (feed && obstacleOf(placed, feed, unit));
    if (reason || !at || !feed) {
      left.push({ name: placed.name, ...(at && { at }), reason: reason ?? { kind: "nothing-covered" } });
      continue;
    }
    able.push({ placed, at, feed, from: feed.pieces.filter(isSpan) });
  }
  const rival = rivals(able);
  for (const [job, other] of rival) {
    left.push({ name: job.placed.name, at: job.at, reason: { kind: "shared-place", with: other.placed.name } });
  }
  return { able: able.filter((job) => !rival.has(job)), left };
}

/** Each job whose place overlaps that of another, with such another. */
function rivals(jobs: readonly Job[]): ReadonlyMap<Job, Job> {
  const found = new Map<Job, Job>();
  let furthest: Job | undefined;
  for (const job of [...jobs].sort((a, b) => a.at.start - b.at.start)) {
    if (furthest && overlap(furthest.at, job.at)) {
      found.set(job, furthest);
      if (!found.has(furthest)) found.set(furthest, job);
    }
    if (!furthest || job.at.end > furthest.at.end) furthest = job;
  }
  return found;
}

/** The bytes that make the checksum hold; those that are there when it does. */
function rightBytes({ rule, algorithm }: PlacedChecksum, feed: Feed, at: Span, image: Image): Uint8Array | undefined {
  const value = valueFrom(algorithm, feed.pieces, image);
  if (rule.stored.form !== "whole-comes-to-constant") return storedBytes(rule, value, lengthOf(at));
  const constant = rule.stored.constant ?? 0n;
  return value === constant ? image.read(at) : balancingBytes(algorithm, feed.pieces, at, image, constant);
}
