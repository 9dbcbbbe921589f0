import { common, type Span, subtract, totalLength } from "../bytes/span.js";
import { isBlank, missingOf } from "../compare/donor.js";
import { differenceOf } from "../image/difference.js";
import type { Image } from "../image/image.js";
import type { Role } from "../profile/schema/region.js";
import type { Unit } from "../unit/unit.js";
import type { Plan } from "./plan.js";

/** Roles without whose content a unit does not run, or runs as something else. */
const needed: readonly (Role | undefined)[] = ["boot", "program", "calibration", "coding"];

/** Roles of what belongs to an owner. */
const owned: readonly (Role | undefined)[] = ["immobiliser", "identity"];

/** The regions of what belongs to an owner that come along from the source. */
export function ownedCarried({ parts }: Plan): readonly string[] {
  return parts.flatMap(({ region, role, origin }) =>
    region !== undefined && origin === "source" && owned.includes(role) ? [region] : [],
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
    const roles = origin === "source" ? [...needed, ...owned] : needed;
    if (region === undefined || origin === "erased" || !roles.includes(role)) return [];
    const unit = origin === "source" ? source : donor;
    return isBlank(unit, spans) || isConstant(unit, spans) ? [{ unit: origin, region }] : [];
  });
}

/** Whether every known byte there is the same: a part that answers nothing reads as 00 as well as FF. */
function isConstant({ image }: Unit, spans: readonly Span[]): boolean {
  const parts = common(image.spans, spans).map((span) => image.read(span) as Uint8Array);
  const first = parts[0]?.[0];
  return parts.every((part) => part.every((byte) => byte === first));
}

/** Parts that are to be overwritten and read as erased in the donor. */
export function virginParts(plan: Plan, donor: Unit): Plan["parts"] {
  return plan.parts.filter(
    ({ region, origin, spans }) => region !== undefined && origin === "source" && isBlank(donor, spans),
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
  const { runs, unlisted, onlyFirst } = differenceOf(source.image, donor.image);
  const differing = [...runs, ...(unlisted ? common([unlisted], source.image.spans) : []), ...onlyFirst];
  return [...regions, { region: undefined, spans: outside }].flatMap(({ region, spans }) => {
    const held = common(differing, spans).flatMap((span) => written(source.image, span, erased));
    const first = held[0];
    return first ? [{ region, bytes: totalLength(held), first: first.start }] : [];
  });
}

/** The known runs in `span` that do not read as erased memory. */
function written(image: Image, span: Span, erased: number | undefined): Span[] {
  const runs: Span[] = [];
  for (const { address, bytes } of image.within(span)) {
    let start = -1;
    for (let i = 0; i <= bytes.length; i++) {
      const holds = i < bytes.length && bytes[i] !== erased;
      if (holds && start < 0) start = i;
      if (holds || start < 0) continue;
      runs.push({ start: address + start, end: address + i });
      start = -1;
    }
  }
  return runs;
}
