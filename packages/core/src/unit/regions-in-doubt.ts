import { common, type Span, subtract, totalLength } from "../bytes/span.js";
import { neededRoles, ownedRoles, type Role } from "../profile/schema/region.js";
import { oneByteOf } from "./blank.js";
import type { Unit } from "./unit.js";

/** Holes of a region that were read as erased. */
export interface RegionHoles {
  readonly region: string;
  readonly spans: readonly Span[];
}

/**
 * Of the regions of an owner, and of those `carried` into another unit: holes that were read as erased and that nothing
 * `covered` by a checksum that holds confirms to be.
 */
export function unconfirmedHoles(unit: Unit, covered: readonly Span[], carried: readonly string[]): RegionHoles[] {
  const { regions, erasedHoles, read } = unit;
  return regions
    .filter(({ name, role }) => ownedRoles.includes(role) || carried.includes(name))
    .map(({ name, role, spans }) => {
      const holes = subtract(common(spans, erasedHoles), covered);
      // Behind the last byte that a unit wrote by itself the rest is erased as a rule; before it a row is missing.
      const last = ownedRoles.includes(role) ? Number.POSITIVE_INFINITY : (common(spans, read.spans).at(-1)?.end ?? 0);
      return { region: name, spans: holes.filter(({ end }) => end <= last) };
    })
    .filter(({ spans }) => spans.length > 0);
}

/** A region that holds one byte throughout. */
export interface BlankRegion {
  readonly region: string;
  readonly role: Role;
  readonly value: number;
  readonly bytes: number;
  readonly spans: readonly Span[];
}

/** Regions that hold one byte throughout, though a unit needs what belongs there or it is somebody's own. */
export function blankRegions(unit: Unit): BlankRegion[] {
  return unit.regions.flatMap(({ name, role, spans }) => {
    const value = neededRoles.includes(role) || ownedRoles.includes(role) ? oneByteOf(unit, spans) : undefined;
    return value === undefined ? [] : [{ region: name, role, value, bytes: totalLength(spans), spans }];
  });
}
