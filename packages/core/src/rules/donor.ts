import type { DonorComparison } from "../compare/donor.js";
import type { ExpectationStanding } from "../compare/expectations.js";
import type { Composition } from "../compose/compose.js";
import type { LackingRegion } from "../compose/facts.js";
import type { Plan } from "../compose/plan.js";
import { type Finding, finding } from "../findings/catalogue.js";
import { sameNumber } from "../profile/number.js";
import { judgeBoot, judgeExpectations, judgeHardware, judgeSize } from "./donor-fit.js";
import { judgeComposition, judgeIncomplete, judgeLayout } from "./donor-plan.js";
import { judgement, type Rule } from "./rule.js";

/** What was established about the composed image itself. */
export interface ComposedFacts {
  readonly hardware: string | undefined;
  readonly machineNumber: string | undefined;
  /** Regions that do not lie where the plan put them. */
  readonly moved: readonly string[];
  /** Whether the donor already holds all of it, but for what a unit writes by itself. */
  readonly alreadyThere: boolean;
}

/** What the rules on a donor are asked of. */
export interface DonorQuestion {
  /** Roles that were given one file, pair by pair. */
  readonly sameFiles: readonly { readonly first: string; readonly second: string; readonly sha256: string }[];
  /** How the twin is known to be the source, when it is. */
  readonly twinIsSource: "file" | "serial-number" | undefined;
  readonly comparison: DonorComparison;
  /** What the donor must say of itself, and what it says. */
  readonly expectations: readonly ExpectationStanding[];
  readonly plan: Plan;
  /** What is not in the reads. */
  readonly incomplete: readonly LackingRegion[];
  /** Regions that the unit cannot do without, erased where they are to come from. */
  readonly blank: readonly { readonly unit: "source" | "donor"; readonly region: string }[];
  /** Regions that are to be overwritten and are erased in the donor. */
  readonly virgin: readonly string[];
  readonly software: { readonly source: string | undefined; readonly donor: string | undefined };
  readonly leftBehind: readonly {
    readonly region: string | undefined;
    readonly bytes: number;
    readonly first: number;
  }[];
  readonly composition: Composition | undefined;
  readonly composed: ComposedFacts | undefined;
  /** The number of the machine: of the job sheet, else of the source. */
  readonly machineNumber: string | undefined;
  /** Regions of an owner's data that come along although the job sheet does not say which machine they are for. */
  readonly ownedUntold: readonly string[];
  /** Whether units of this family are coded for a side, and whether anybody said for which this one is. */
  readonly side: "unused" | "asked" | "unasked";
  /** Whether the profile relates the units of a pair, and whether the twin is there to be held against. */
  readonly twin: "unused" | "given" | "absent";
  /** What the job sheet says of the software that the machine is to run. */
  readonly sheet: "absent" | "silent" | "speaks";
}

export const donorRules: readonly Rule<DonorQuestion>[] = [
  {
    id: "donor/units-distinct",
    judge: ({ sameFiles, twinIsSource, comparison: { units } }) => {
      const { sameSerial } = units;
      const open: Finding[] = [
        ...(units.identical && sameFiles.length === 0 ? [finding("donor/contents-identical", {})] : []),
        ...(twinIsSource ? [finding("donor/twin-is-source", { by: twinIsSource }, { role: "twin" })] : []),
      ];
      return judgement(
        [
          ...sameFiles.map((same) => finding("donor/same-file", same, { role: same.second })),
          ...(sameSerial
            ? [
                finding(
                  "donor/same-unit",
                  { field: sameSerial.field, value: sameSerial.value },
                  { role: "donor", span: sameSerial.at },
                ),
              ]
            : []),
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
