import type { Accelerators } from "../algorithms/algorithm.js";
import { common, normalised, type Span, subtract, totalLength } from "../bytes/span.js";
import type { Explanation } from "../compare/explanation.js";
import { piecesOf } from "../compare/pieces.js";
import type { Composition } from "../compose/compose.js";
import type { Plan } from "../compose/plan.js";
import { contentDigest } from "../fingerprint/content.js";
import { differenceOf, differingSpans } from "../image/difference.js";
import { reportDifferences } from "../report/differences.js";
import type { Report, ReportPlan } from "../report/schema.js";
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
export function plannedDifferences(
  { parts }: Plan,
  donor: Unit,
  composition: Composition | undefined,
): { readonly differences?: NonNullable<Report["differences"]>; readonly differencesLeftOut?: number } {
  if (!composition) return {};
  const runs = changedRuns(donor, composition);
  const explanations: Explanation[] = [
    ...composition.recomputed.map(({ name, at }) => ({ rule: `checksum/${name}`, spans: [at] })),
    ...parts.map(({ origin, spans }) => ({ rule: `plan/${origin}`, spans })),
  ];
  const spoken = composition.recomputed.map(({ at }) => at);
  const pieces = piecesOf(
    runs,
    donor.regions,
    explanations.map((one, i) => (i < spoken.length ? one : { ...one, spans: subtract(one.spans, spoken) })),
  );
  return reportDifferences(pieces);
}

/** Where the composed image is not what the donor holds. What a list of runs has no room for counts as changed whole. */
function changedRuns(donor: Unit, { image }: Composition): readonly Span[] {
  const difference = differenceOf(donor.image, image);
  return normalised([...differingSpans(difference), ...difference.onlySecond]);
}

function byteText(value: number): string {
  return value.toString(16).padStart(2, "0");
}
