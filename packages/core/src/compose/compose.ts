import type { Accelerators } from "../algorithms/algorithm.js";
import { common, contains, lengthOf, overlap, type Span } from "../bytes/span.js";
import { type ChecksumFacts, spansOf } from "../checksums/facts.js";
import { measureChecksums } from "../checksums/measure.js";
import { type LeftReason, recomputeChecksums } from "../checksums/recompute.js";
import { Image, type Segment } from "../image/image.js";
import type { Origin } from "../profile/schema/donor.js";
import type { Profile } from "../profile/schema/profile.js";
import { describeUnit, type Unit } from "../unit/unit.js";
import { holdsTogether, type Plan, type PlanPart } from "./plan.js";

/** A byte of a stored checksum that had to become another. */
export interface ChangedByte {
  readonly address: number;
  readonly before: number;
  readonly after: number;
}

/** A checksum that covers bytes of more than one origin, and the bytes that made it hold. */
export interface RecomputedChecksum {
  readonly name: string;
  readonly at: Span;
  readonly bytes: readonly ChangedByte[];
}

/** What came of a plan. */
export interface Composition {
  readonly image: Image;
  /** Checksums that were placed anew, in that order. Those that hold as they are carried are not among them. */
  readonly recomputed: readonly RecomputedChecksum[];
  /** Checksums over bytes of more than one origin that could not be placed, or may not be. */
  readonly left: readonly {
    readonly name: string;
    readonly at?: Span;
    readonly reason: LeftReason | { readonly kind: "owned" };
  }[];
}

/** Blank checksums over blank checksums are placed to this depth; what is deeper is left, and told. */
const mostRounds = 16;

/**
 * The image that `plan` says: every part carried whole, or blank. A stored checksum is put right when what it covers comes
 * from more than one origin, and never otherwise: one that fails in source or donor goes on failing. Undefined when the
 * plan does not say where every byte comes from.
 */
export function compose(
  plan: Plan,
  source: Unit,
  donor: Unit,
  accelerators: Accelerators = {},
): Composition | undefined {
  if (!holdsTogether(plan)) return undefined;
  const { profile } = source;
  const carried = Image.of(plan.parts.flatMap((part) => segmentsOf(part, source, donor)));
  const unit = describeUnit(carried, profile, "unknown");
  const mixed = mixedChecksums(plan, measureChecksums(unit, accelerators));
  if (mixed.length === 0) return { image: carried, recomputed: [], left: [] };

  const names = new Set(mixed.map(({ name }) => name));
  const rules = restricted(profile, mixed);
  const owned = immobiliserSpans(unit);
  const isOwned = (at: Span) => owned.some((span) => overlap(span, at));
  const changed = new Map<string, Span>();
  let image = carried;
  for (let round = 0; ; round++) {
    const { image: next, changes, left } = recomputeChecksums(image, rules, accelerators);
    const own = changes.filter(({ name }) => names.has(name));
    const allowed = own.filter(({ at }) => !isOwned(at));
    for (const { name, at } of allowed) changed.set(name, at);
    image = withPlaces(image, next, places(allowed));
    // A value that was placed can give something to cover to a checksum over memory that was blank before.
    const more = allowed.length > 0 && left.some(({ name, reason }) => names.has(name) && reason.kind === "blank");
    if (more && round < Math.min(mixed.length, mostRounds)) continue;
    return {
      image,
      recomputed: [...changed].map(([name, at]) => ({ name, at, bytes: changedBytes(carried, image, at) })),
      left: [
        ...left.filter(({ name }) => names.has(name)),
        ...own
          .filter(({ at }) => isOwned(at))
          .map(({ name, at }) => ({ name, at, reason: { kind: "owned" as const } })),
      ],
    };
  }
}

function places(changes: readonly { readonly at: Span }[]): readonly Span[] {
  return changes.map(({ at }) => at);
}

function segmentsOf({ origin, spans }: PlanPart, source: Unit, donor: Unit): Segment[] {
  const blank = source.profile.memory.erased ?? 0xff;
  return spans.flatMap((span) =>
    origin === "erased"
      ? [{ address: span.start, bytes: new Uint8Array(lengthOf(span)).fill(blank) }]
      : [...(origin === "source" ? source : donor).image.within(span)],
  );
}

/**
 * The checksums whose bytes, their stored value among them, come from more than one origin; and those that take in a value
 * which is placed anew for that reason.
 */
function mixedChecksums(plan: Plan, checksums: readonly ChecksumFacts[]): readonly ChecksumFacts[] {
  const originsOf = (spans: readonly Span[]) =>
    new Set<Origin>(plan.parts.filter((part) => common(part.spans, spans).length > 0).map(({ origin }) => origin));
  const mixed = new Set(checksums.filter((one) => originsOf(spansOf(one)).size > 1));
  let others = checksums.filter((one) => !mixed.has(one));
  // Grows while it is gone through.
  for (const { storedAt } of mixed) {
    if (!storedAt) continue;
    const taking = others.filter(({ covered }) => covered.some((span) => overlap(span, storedAt)));
    if (taking.length === 0) continue;
    for (const other of taking) mixed.add(other);
    others = others.filter((one) => !mixed.has(one));
  }
  return checksums.filter((one) => mixed.has(one));
}

/** The profile with only those rules of which a checksum is among `mixed`. */
function restricted(profile: Profile, mixed: readonly ChecksumFacts[]): Profile {
  const rules = new Set(mixed.map(({ rule }) => rule));
  return { ...profile, checksums: profile.checksums.filter(({ name }) => rules.has(name)) };
}

/** What is never edited, not even for a checksum. */
function immobiliserSpans({ regions, fields }: Unit): readonly Span[] {
  return [
    ...regions.filter(({ role }) => role === "immobiliser").flatMap(({ spans }) => spans),
    ...fields.flatMap((reading) => (reading.field.means === "immobiliser" && "span" in reading ? [reading.span] : [])),
  ];
}

/** `image` with what `other` holds at `places`. */
function withPlaces(image: Image, other: Image, places: readonly Span[]): Image {
  const segments = image.segments.map(({ address, bytes }) => ({ address, bytes: bytes.slice() }));
  for (const at of places) {
    const own = segments.find(({ address, bytes }) => contains({ start: address, end: address + bytes.length }, at));
    own?.bytes.set(other.read(at) as Uint8Array, at.start - own.address);
  }
  return Image.of(segments);
}

function changedBytes(before: Image, after: Image, at: Span): ChangedByte[] {
  const own = before.read(at) as Uint8Array;
  const other = after.read(at) as Uint8Array;
  return [...own].flatMap((byte, i) =>
    byte === other[i] ? [] : [{ address: at.start + i, before: byte, after: other[i] as number }],
  );
}
