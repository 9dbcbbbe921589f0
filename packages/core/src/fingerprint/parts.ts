import { common, normalised, type Span } from "../bytes/span.js";
import { belongingOf } from "../profile/schema/field.js";
import type { PairRule } from "../profile/schema/pair.js";
import { type Role, volatileRoles } from "../profile/schema/region.js";
import { knownSpans, type Unit } from "../unit/unit.js";
import type { Masked } from "./fingerprint.js";

/** Roles whose content is the single unit's or its owner's: they have no fingerprint. */
const withoutFingerprint: readonly Role[] = [...volatileRoles, "immobiliser"];

/**
 * Pairing rules that give each side, or each unit, a value of its own. Where the sides hold the same elements in another
 * order the content stays in: it is part of what the software is, and each side has its own fingerprint then.
 */
const sideRules: readonly PairRule["rule"][] = ["per-side", "distinct", "free"];

/**
 * The parts of `unit` that get a fingerprint: each region but those that belong to the single unit, and the `whole` of
 * them together. Left out of them: fields of the unit, the machine and the side, what a pairing rule gives each side or
 * unit for itself, what the unit writes by itself, stored checksums (`stored`), and what the profile names besides.
 * They are taken of `unit.image`, where the holes that may pass as erased are filled already: any other stays a hole.
 */
export function fingerprintParts(unit: Unit, stored: readonly Span[]): readonly Masked[] {
  const { profile, around } = unit;
  const masked = normalised([
    ...stored,
    ...unit.volatile,
    ...unit.fields.flatMap((reading) =>
      "span" in reading && ["unit", "machine", "side"].includes(belongingOf(reading.field)) ? [reading.span] : [],
    ),
    ...(profile.pair?.rules ?? []).flatMap(({ rule, over }) =>
      sideRules.includes(rule) ? knownSpans(over, around) : [],
    ),
    ...(profile.fingerprint?.without ?? []).flatMap(({ over }) => knownSpans(over, around)),
  ]);
  const regions = unit.regions.filter(({ role, spans }) => !withoutFingerprint.includes(role) && spans.length > 0);
  const part = (name: string, spans: readonly Span[]) => ({ name, spans, masked: common(masked, spans), erased: null });
  return [
    ...regions.map(({ name, spans }) => part(name, spans)),
    part("whole", normalised(regions.flatMap(({ spans }) => spans))),
  ];
}
