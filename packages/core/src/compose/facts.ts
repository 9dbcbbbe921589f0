import { common, type Span, subtract, totalLength } from "../bytes/span.js";
import { missingOf } from "../compare/donor.js";
import { differenceOf, differingSpansBut } from "../image/difference.js";
import { neededRoles, ownedRoles } from "../profile/schema/region.js";
import { isErased, oneByteOf, writtenIn } from "../unit/blank.js";
import { fieldValue } from "../unit/field.js";
import { fieldOfMeaning, type Unit } from "../unit/unit.js";
import type { Plan } from "./plan.js";

/** The regions of what belongs to an owner that come along from the source. */
export function ownedCarried({ parts }: Plan): readonly string[] {
  return parts.flatMap(({ region, role, origin }) =>
    region !== undefined && role !== undefined && origin === "source" && ownedRoles.includes(role) ? [region] : [],
  );
}

/** A region of which a unit lacks bytes. */
export interface LackingRegion {
  readonly unit: "source" | "donor";
  readonly region: string;
  readonly use: "carried" | "kept" | "overwritten";
  readonly missing: number;
  readonly of: number;
  readonly first: number;
}

/** What the source lacks of what is carried, and the donor of everything: what is not in its read is lost with the write. */
export function lackingRegions(plan: Plan, donor: Unit): readonly LackingRegion[] {
  const lacking = (
    unit: LackingRegion["unit"],
    region: string,
    use: LackingRegion["use"],
    spans: readonly Span[],
    missing: readonly Span[],
  ): LackingRegion[] => {
    const first = missing[0];
    return first
      ? [{ unit, region, use, missing: totalLength(missing), of: totalLength(spans), first: first.start }]
      : [];
  };
  return plan.parts.flatMap(({ region, origin, spans, missing }): readonly LackingRegion[] => {
    if (region === undefined) return [];
    if (origin === "donor") return lacking("donor", region, "kept", spans, missing);
    return [
      ...(origin === "source" ? lacking("source", region, "carried", spans, missing) : []),
      ...lacking("donor", region, "overwritten", spans, missingOf(donor, spans)),
    ];
  });
}

/** Regions that the unit cannot do without, erased or of one byte value throughout where they come from. */
export function blankRegions(plan: Plan, source: Unit, donor: Unit) {
  return plan.parts.flatMap(({ region, role, origin, spans }) => {
    // An erased immobiliser or identity is not carried into another unit either: it would take the donor's own away.
    const roles = origin === "source" ? [...neededRoles, ...ownedRoles] : neededRoles;
    if (region === undefined || role === undefined || origin === "erased" || !roles.includes(role)) return [];
    const unit = origin === "source" ? source : donor;
    return oneByteOf(unit, spans) !== undefined ? [{ unit: origin, region }] : [];
  });
}

/** Parts that are to be overwritten and read as erased in the donor. */
export function virginParts(plan: Plan, donor: Unit): Plan["parts"] {
  return plan.parts.filter(
    ({ region, origin, spans }) => region !== undefined && origin === "source" && isErased(donor, spans),
  );
}

/** What the source holds in unused memory, or outside all regions, and the donor does not. */
export function leftBehind({ parts }: Plan, source: Unit, donor: Unit) {
  const { erased } = source.profile.memory;
  const regions = parts.filter(
    ({ region, role, origin }) => region !== undefined && role === "spare" && origin !== "source",
  );
  const outside = subtract(
    source.image.spans,
    source.regions.flatMap(({ spans }) => spans),
  );
  const difference = differenceOf(source.image, donor.image);
  const apart = subtract(source.image.spans, [...regions.flatMap(({ spans }) => spans), ...outside]);
  const runs = differingSpansBut(apart, difference, source.image, donor.image);
  const differing = [...runs, ...difference.onlyFirst];
  return [...regions, { region: undefined, spans: outside }].flatMap(({ region, spans }) => {
    const { bytes, first } = writtenIn(source.image, common(differing, spans), erased);
    return first ? [{ region, bytes, first: first.start }] : [];
  });
}

/** What was established about the composed image itself. */
export interface ComposedFacts {
  readonly hardware: string | undefined;
  readonly machineNumber: string | undefined;
  /** Regions that do not lie where the plan put them. */
  readonly moved: readonly string[];
  /** Whether the donor already holds all of it, but for what a unit writes by itself. */
  readonly alreadyThere: boolean;
}

/** What the composed image is, held against the plan and the donor. */
export function composedFacts(composed: Unit, donor: Unit, plan: Plan): ComposedFacts {
  const difference = differenceOf(composed.image, donor.image);
  const volatile = [...composed.volatile, ...donor.volatile];
  const runs = differingSpansBut(volatile, difference, composed.image, donor.image);
  const fixed = subtract([...runs, ...difference.onlyFirst], volatile);
  const placed = new Map(plan.parts.map(({ region, spans }) => [region, spans]));
  const name = composed.profile.donor?.identifiedBy.hardware;
  const hardware = name
    ? composed.fields.find(({ field }) => field.name === name)
    : fieldOfMeaning(composed, "hardware-number");
  return {
    hardware: fieldValue(hardware),
    machineNumber: fieldValue(fieldOfMeaning(composed, "machine-number")),
    moved: composed.regions.flatMap(({ name: region, spans }) => {
      const own = placed.get(region) ?? [];
      const same = subtract(spans, own).length === 0 && subtract(own, spans).length === 0;
      return same ? [] : [region];
    }),
    alreadyThere: difference.bytes === 0 || fixed.length === 0,
  };
}
