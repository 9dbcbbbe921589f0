import { type Span, subtract, totalLength } from "../bytes/span.js";
import type { ProvedPlace } from "../checksums/proved-place.js";
import { otherSideValues } from "../compare/side-values.js";
import { largestMemory, sizesOf } from "../profile/extent.js";
import { unconfirmedIn } from "../profile/unconfirmed.js";
import type { UnitQuestion } from "../rules/unit.js";
import { describedTwice } from "../unit/described-twice.js";
import { blankRegions, unconfirmedHoles } from "../unit/regions-in-doubt.js";
import { sideOf } from "../unit/side.js";
import { outsideMemory, undescribedIn } from "../unit/undescribed.js";
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
  readonly place: ProvedPlace | undefined;
}

/** What the rules on a single unit are asked of. */
export function unitQuestion(
  unit: Unit,
  { exact, wantedSide, asks, covered, carried = [], place }: Manner,
): UnitQuestion {
  const { profile, read, image, erasedHoles, regions } = unit;
  const bounds = read.bounds;
  return {
    profile: profile.id,
    confirmed: profile.confirmed,
    unconfirmed: unconfirmedIn(profile).map(({ statement }) => statement),
    leftOut: profile.leftOut,
    extent: bounds ? bounds.end - profile.memory.base : 0,
    exact,
    sizes: sizesOf(profile),
    memory: largestMemory(profile),
    place,
    held: covered.length > 0,
    outside: outsideMemory(unit),
    undescribed: undescribedIn(unit),
    describedTwice: describedTwice(unit),
    erasedHoles: { bytes: totalLength(erasedHoles), erased: profile.memory.erased ?? 0xff, spans: erasedHoles },
    unconfirmedHoles: unconfirmedHoles(unit, covered, carried),
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
