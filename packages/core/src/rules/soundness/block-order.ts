import type { Statistics } from "../../soundness/measure.js";
import { mendedGain } from "../../soundness/pieces.js";
import { doubt, evidence, type Symptom, whole } from "./symptom.js";

/** That blocks stand in another order: content breaks off at their borders. */
export function blockSymptoms({ pieces: { broken, rearrangement } }: Statistics): Symptom[] {
  if (rearrangement) {
    const { kind, first, second, crossed, asIs, across } = rearrangement;
    const gain = evidence(across / Math.max(asIs, 1 / crossed), mendedGain, crossed);
    return [
      kind === "lines-exchanged"
        ? whole("soundness/address-lines-exchanged", { first, second, ...gain })
        : whole("soundness/blocks-displaced", { block: 2 ** first, ...evidence(asIs, across, crossed) }),
    ];
  }
  if (!broken) return [];
  // Tables of small records break off at every border too: only what can be put back is sure.
  const facts = { block: 2 ** broken.line, ...evidence(broken.across, broken.inside / 2, broken.crossed) };
  return [doubt("soundness/content-breaks-off", facts)];
}
