import { common, type Span, subtract, totalLength } from "../bytes/span.js";
import { otherSideValues } from "../compare/side-values.js";
import { extentOf, sizesOf } from "../profile/check.js";
import { neededRoles, ownedRoles } from "../profile/schema/region.js";
import { unconfirmedIn } from "../profile/unconfirmed.js";
import type { UnitQuestion } from "../rules/unit.js";
import { oneByteOf, writtenIn } from "../unit/blank.js";
import { sideOf } from "../unit/side.js";
import type { Unit } from "../unit/unit.js";

/** How a single unit is asked about. */
interface Manner {
  /** Whether the file cannot leave anything out, so that its size must fit. */
  readonly exact: boolean;
  readonly wantedSide: string | undefined;
  readonly asks: (question: "blank-regions" | "side-values") => boolean;
  /** What checksums that hold cover. */
  readonly covered: readonly Span[];
  /** Regions that go into another unit as they were read. */
  readonly carried?: readonly string[];
}

/** What the rules on a single unit are asked of. */
export function unitQuestion(unit: Unit, { exact, wantedSide, asks, covered, carried = [] }: Manner): UnitQuestion {
  const { profile, read, image, erasedHoles, regions } = unit;
  const memory = memoryOf(unit);
  const outside = memory ? subtract(read.spans, [memory]) : [];
  const undescribed = writtenIn(
    image,
    subtract(
      image.spans,
      regions.flatMap(({ spans }) => spans),
    ),
    profile.memory.erased,
  );
  const bounds = read.bounds;
  return {
    profile: profile.id,
    confirmed: profile.confirmed,
    unconfirmed: unconfirmedIn(profile).map(({ statement }) => statement),
    leftOut: profile.leftOut,
    extent: bounds ? bounds.end - profile.memory.base : 0,
    exact,
    sizes: sizesOf(profile),
    memory,
    outside: { bytes: totalLength(outside), first: outside[0] },
    undescribed,
    describedTwice: describedTwice(unit),
    erasedHoles: {
      bytes: totalLength(erasedHoles),
      erased: profile.memory.erased ?? 0xff,
      spans: erasedHoles,
    },
    unconfirmedHoles: regions
      .filter(({ name, role }) => ownedRoles.includes(role) || carried.includes(name))
      .map(({ name, role, spans }) => {
        const holes = subtract(common(spans, erasedHoles), covered);
        // Behind the last byte that a unit wrote by itself the rest is erased as a rule; before it a row is missing.
        const last = ownedRoles.includes(role)
          ? Number.POSITIVE_INFINITY
          : (common(spans, read.spans).at(-1)?.end ?? 0);
        return { region: name, spans: holes.filter(({ end }) => end <= last) };
      })
      .filter(({ spans }) => spans.length > 0),
    regions: regions.map((region) => ({
      ...region,
      bytes: totalLength(region.spans),
      missing: subtract(region.spans, image.spans),
    })),
    fields: unit.fields,
    side: sideOf(unit),
    wantedSide,
    blank: asks("blank-regions") ? blankRegions(unit) : undefined,
    otherSideValues: asks("side-values") ? otherSideValues(unit) : undefined,
  };
}

/** Pairs of regions of different roles that hold the same bytes: by a condition, or by a place that a field computes. */
function describedTwice({ regions }: Unit): UnitQuestion["describedTwice"] {
  return regions.flatMap(({ name, role, spans }, i) =>
    regions.slice(i + 1).flatMap((other) => {
      if (other.role === role) return [];
      const [first, ...rest] = common(spans, other.spans);
      if (!first) return [];
      return [
        {
          first: { region: name, role },
          second: { region: other.name, role: other.role },
          spans: [first, ...rest] as const,
        },
      ];
    }),
  );
}

/** The largest memory that the profile allows. */
function memoryOf({ profile }: Unit): Span | undefined {
  const sizes = sizesOf(profile);
  const { base } = profile.memory;
  return extentOf(profile) ?? (sizes.length > 0 ? { start: base, end: base + Math.max(...sizes) } : undefined);
}

/** Regions that hold one byte throughout, though a unit needs what belongs there or it is somebody's own. */
function blankRegions(unit: Unit): NonNullable<UnitQuestion["blank"]> {
  return unit.regions.flatMap(({ name, role, spans }) => {
    const value = neededRoles.includes(role) || ownedRoles.includes(role) ? oneByteOf(unit, spans) : undefined;
    return value === undefined ? [] : [{ region: name, role, value, bytes: totalLength(spans), spans }];
  });
}
