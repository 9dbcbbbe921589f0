import type { Accelerators } from "../algorithms/algorithm.js";
import { common, totalLength } from "../bytes/span.js";
import { changedRuns, plannedPieces } from "../compose/changes.js";
import type { Composition } from "../compose/compose.js";
import type { Plan } from "../compose/plan.js";
import { contentDigest } from "../fingerprint/content.js";
import { reportDifferences } from "../report/differences.js";
import type { ReportPlan } from "../report/schema.js";
import { reportSpan } from "../report/span.js";
import type { Unit } from "../unit/unit.js";

/** The most spans of one part that a report lists one by one. */
const spansListed = 1000;

/** The plan as the report shows it: regions and counts, never content. */
export function reportPlan(
  { parts }: Plan,
  donor: Unit,
  composition: Composition | undefined,
  { digest }: Accelerators = {},
): ReportPlan {
  const changed = composition && changedRuns(donor, composition);
  return {
    regions: parts.map(({ region, role, origin, decided, why, spans }) => ({
      region: region ?? null,
      role: role ?? null,
      origin,
      decided,
      reason: why,
      bytes: totalLength(spans),
      changes: changed ? totalLength(common(changed, spans)) : null,
      spans: spans.slice(0, spansListed).map(reportSpan),
    })),
    recomputed: (composition?.recomputed ?? []).map(({ name, at, bytes }) => ({
      checksum: name,
      at: reportSpan(at),
      bytes: bytes.map(({ address, before, after }) => ({
        address,
        before: byteText(before),
        after: byteText(after),
      })),
    })),
    composed: composition
      ? {
          bytes: composition.image.length,
          content: contentDigest(composition.image, digest) ?? null,
          spans: composition.image.spans.slice(0, spansListed).map(reportSpan),
        }
      : null,
  };
}

/** What the write would change in the donor, each with the part of the plan that asks for it. */
export function reportChanges(plan: Plan, donor: Unit, composition: Composition | undefined) {
  return composition ? reportDifferences(plannedPieces(plan, donor, composition)) : {};
}

function byteText(value: number): string {
  return value.toString(16).padStart(2, "0");
}
