import { normalised, type Span, subtract } from "../bytes/span.js";
import type { Explanation } from "../compare/explanation.js";
import { type DifferingPiece, piecesOf } from "../compare/pieces.js";
import { differenceOf, differingSpans } from "../image/difference.js";
import type { Unit } from "../unit/unit.js";
import type { Composition } from "./compose.js";
import type { Plan } from "./plan.js";

/** What the write would change in the donor, each with the part of the plan that asks for it. */
export function plannedPieces({ parts }: Plan, donor: Unit, composition: Composition): DifferingPiece[] {
  const spoken = composition.recomputed.map(({ at }) => at);
  const explanations: Explanation[] = [
    ...composition.recomputed.map(({ name, at }) => ({ rule: `checksum/${name}`, spans: [at] })),
    ...parts.map(({ origin, spans }) => ({ rule: `plan/${origin}`, spans: subtract(spans, spoken) })),
  ];
  return piecesOf(changedRuns(donor, composition), donor.regions, explanations);
}

/** Where the composed image is not what the donor holds. What a list of runs has no room for counts as changed whole. */
export function changedRuns(donor: Unit, { image }: Composition): readonly Span[] {
  const difference = differenceOf(donor.image, image);
  return normalised([...differingSpans(difference), ...difference.onlySecond]);
}
