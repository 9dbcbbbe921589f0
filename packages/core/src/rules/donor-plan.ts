import type { LeftReason } from "../checksums/recompute.js";
import { absenceText } from "../checksums/words.js";
import type { Plan } from "../compose/plan.js";
import { type Finding, finding } from "../findings/catalogue.js";
import { sameNumber } from "../profile/number.js";
import type { DonorQuestion } from "./donor-question.js";
import { type Judgement, judgement } from "./rule.js";

/** Whether each region is there, whole and not erased, in the unit that it comes from, and the donor's all kept as a file. */
export function judgeIncomplete({ incomplete, blank }: DonorQuestion): Judgement {
  return judgement(
    [
      ...(["source", "donor"] as const).flatMap((unit) => incompleteIn(unit, incomplete)),
      ...blank.map((one) => finding("donor/region-blank", one, { role: one.unit, region: one.region })),
    ],
    [],
  );
}

function incompleteIn(unit: "source" | "donor", incomplete: DonorQuestion["incomplete"]): Finding[] {
  const own = incomplete.filter((one) => one.unit === unit);
  if (own.length === 0) return [];
  const sum = (of: (one: (typeof own)[number]) => number) => own.reduce((total, one) => total + of(one), 0);
  const facts = {
    unit,
    regions: own.map(({ region, use }) => ({ region, use })),
    missing: sum(({ missing }) => missing),
    of: sum(({ of }) => of),
    first: Math.min(...own.map(({ first }) => first)),
  };
  const places = own.map(({ region, first }) => ({ role: unit, span: { start: first, end: first + 1 }, region }));
  return [finding("donor/regions-incomplete", facts, ...places.slice(0, 8))];
}

/** Whether all regions find their places. */
export function judgeLayout({ moved, unplaced, overlapping }: Plan): Judgement {
  return judgement(
    [
      ...moved.map((region) => finding("donor/region-moved", { region }, { role: "donor", region })),
      ...overlapping.map((one) => finding("donor/regions-overlap", one, { role: "donor", span: one.at })),
    ],
    unplaced.map((region) => finding("donor/region-unplaced", { region }, { region })),
  );
}

/** Whether what was composed is what the plan says, and the unit's checksums can hold in it. */
export function judgeComposition({ composition, composed, comparison }: DonorQuestion): Judgement {
  if (!composition || !composed) {
    return judgement([], [finding("donor/nothing-composed", {})]);
  }
  const { donor, at } = comparison.hardware;
  // What a label says is not in the image, and cannot get lost with it.
  const other =
    donor !== undefined &&
    at !== undefined &&
    (composed.hardware === undefined || !sameNumber(composed.hardware, donor));
  return judgement(
    [
      ...composition.left.map(({ name, at, reason }) =>
        finding(
          "donor/checksum-left",
          { checksum: name, reason: reasonText(reason) },
          { role: "composed", ...(at && { span: at }) },
        ),
      ),
      ...(other
        ? [finding("donor/hardware-overwritten", { donor, composed: composed.hardware }, { role: "composed" })]
        : []),
      ...composed.moved.map((region) =>
        finding("donor/composed-region-moved", { region }, { role: "composed", region }),
      ),
    ],
    [],
    composition.recomputed.map(({ name, at, bytes }) =>
      finding("donor/checksum-recomputed", { checksum: name, bytes }, { role: "composed", span: at }),
    ),
  );
}

/** Names told at the most. */
const named = 8;

function fewOf(names: readonly string[]): string {
  const rest = names.length - named;
  return names.slice(0, named).join(", ") + (rest > 0 ? ` and ${rest} more` : "");
}

function reasonText(reason: LeftReason | { readonly kind: "owned" }): string {
  switch (reason.kind) {
    case "owned":
      return "its value lies in what belongs to an owner, which is carried whole and never edited";
    case "circle":
      return `it and ${fewOf(reason.names)} cover each other's values`;
    case "shared-place":
      return `its value shares a place with that of ${reason.with}`;
    case "no-solution":
      return "no value there makes it hold";
    default:
      return absenceText(reason);
  }
}
