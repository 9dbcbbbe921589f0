import type { UnitsStanding } from "../compare/donor.js";
import { type Finding, finding } from "../findings/catalogue.js";
import { sameNumber } from "../profile/number.js";
import { judgeBoot, judgeExpectations, judgeHardware, judgeSize } from "./donor-fit.js";
import { judgeComposition, judgeIncomplete, judgeLayout } from "./donor-plan.js";
import type { DonorQuestion } from "./donor-question.js";
import { judgement, type Rule } from "./rule.js";

export const donorRules: readonly Rule<DonorQuestion>[] = [
  {
    id: "donor/units-distinct",
    judge: ({ sameFiles, twinIsSource, twinIsDonor, comparison: { units } }) => {
      const open: Finding[] = [
        ...(units.identical && sameFiles.length === 0 ? [finding("donor/contents-identical", { with: "source" })] : []),
        ...(twinIsDonor?.alike && sameFiles.length === 0
          ? [finding("donor/contents-identical", { with: "twin" })]
          : []),
        ...(twinIsSource ? [finding("donor/twin-is-source", { by: twinIsSource }, { role: "twin" })] : []),
      ];
      return judgement(
        [
          ...sameFiles.map((same) => finding("donor/same-file", same, { role: same.second })),
          ...sameUnit("source", units.sameSerial),
          ...sameUnit("twin", twinIsDonor?.serial),
        ],
        open,
      );
    },
  },
  { id: "donor/reads-whole", judge: (question) => judgeIncomplete(question) },
  { id: "donor/as-expected", judge: ({ expectations }) => judgeExpectations(expectations) },
  { id: "donor/hardware-accepted", judge: ({ comparison }) => judgeHardware(comparison.hardware) },
  { id: "donor/part-fits", judge: ({ comparison }) => judgeSize(comparison.size) },
  { id: "donor/layout-fits", judge: ({ plan }) => judgeLayout(plan) },
  {
    id: "donor/boot-starts-software",
    judge: ({ comparison, plan }) => judgeBoot(comparison.boot, plan),
  },
  {
    id: "donor/plan-decided",
    judge: ({ plan, leftBehind }) =>
      judgement(
        [],
        [
          ...plan.parts.flatMap(({ region, role, decided }) =>
            decided === "open" && region !== undefined && role
              ? [finding("donor/origin-undecided", { region, role }, { role: "donor", region })]
              : [],
          ),
          ...leftBehind.map((left) =>
            finding("donor/left-behind", left, {
              role: "source",
              span: { start: left.first, end: left.first + 1 },
              ...(left.region !== undefined && { region: left.region }),
            }),
          ),
        ],
      ),
  },
  {
    id: "donor/for-the-side",
    judge: ({ side }) =>
      side === "unused"
        ? { outcome: "not-applicable", because: "units of this family are not coded for a side" }
        : judgement([], side === "unasked" ? [finding("donor/side-unasked", {})] : []),
  },
  {
    id: "donor/twin-agrees",
    judge: ({ twin }) =>
      twin === "unused"
        ? { outcome: "not-applicable", because: "the profile says nothing of a twin" }
        : judgement([], twin === "absent" ? [finding("donor/twin-absent", {})] : []),
  },
  {
    id: "donor/for-the-machine",
    judge: ({ sheet, composed, machineNumber, ownedUntold }) => {
      const found = composed?.machineNumber;
      const another = found !== undefined && machineNumber !== undefined && !sameNumber(found, machineNumber);
      return judgement(
        [],
        [
          ...(sheet === "speaks" ? [] : [finding("donor/software-unvouched", { sheet })]),
          ...(ownedUntold.length > 0
            ? [finding("donor/owner-untold", { regions: ownedUntold }, { role: "source" })]
            : []),
          ...(another
            ? [finding("donor/machine-number-of-another", { found, wanted: machineNumber }, { role: "composed" })]
            : []),
        ],
      );
    },
  },
  {
    id: "donor/state-known",
    judge: ({ virgin, software: { source, donor }, composed }) => {
      const other = source !== undefined && donor !== undefined && source !== donor;
      return judgement(
        [],
        [],
        [
          ...(virgin.length > 0 ? [finding("donor/virgin", { regions: virgin })] : []),
          ...(other ? [finding("donor/software-overwritten", { donor, source })] : []),
          ...(composed?.alreadyThere ? [finding("donor/already-written", {})] : []),
        ],
      );
    },
  },
  { id: "donor/composed-as-planned", judge: (question) => judgeComposition(question) },
];

function sameUnit(other: "source" | "twin", serial: UnitsStanding["sameSerial"]): Finding[] {
  if (!serial) return [];
  const { field, value, at } = serial;
  return [finding("donor/same-unit", { with: other, field, value }, { role: "donor", span: at })];
}
