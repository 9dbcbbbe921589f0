import type { FieldPairing, judgedMeanings, PairComparison, RegionDifference } from "../compare/pair.js";
import type { NumberDiffers, RegionDiffers } from "../findings/areas/pair.js";
import { type Finding, type FindingCode, finding } from "../findings/catalogue.js";
import { neededRoles, type Role } from "../profile/schema/region.js";
import { sideTold } from "../unit/side.js";
import { judgement, type Rule } from "./rule.js";

/** What the rules on a pair are asked of. */
export interface PairQuestion {
  readonly comparison: PairComparison;
  /** The digest of the file, when both are the same file. */
  readonly sameFile: string | undefined;
  readonly identical: boolean;
}

type CodesFor<Facts> = {
  [Code in FindingCode]: Extract<Finding, { code: Code }>["facts"] extends Readonly<Facts> ? Code : never;
}[FindingCode];

const regionCodes: Readonly<Partial<Record<Role, FindingCode & `pair/${string}-differs`>>> = {
  boot: "pair/boot-differs",
  program: "pair/program-differs",
  calibration: "pair/calibration-differs",
  coding: "pair/coding-differs",
  identity: "pair/identity-differs",
  immobiliser: "pair/immobiliser-differs",
  spare: "pair/spare-differs",
};

const numberCodes = {
  "hardware-number": "pair/hardware-number-differs",
  "software-number": "pair/software-number-differs",
  "calibration-number": "pair/calibration-number-differs",
  "boot-version": "pair/boot-version-differs",
  "part-number": "pair/part-number-differs",
  "machine-number": "pair/machine-number-differs",
  build: "pair/build-differs",
} as const satisfies Record<(typeof judgedMeanings)[number], CodesFor<NumberDiffers>>;

/** Regions whose difference contradicts. The others leave something open. */
const mustAgree: readonly (Role | undefined)[] = [...neededRoles, "identity"];

export const pairRules: readonly Rule<PairQuestion>[] = [
  {
    id: "pair/two-units-given",
    judge: ({ sameFile, identical }) =>
      judgement(
        sameFile === undefined
          ? []
          : [finding("pair/same-file", { sha256: sameFile }, { role: "left" }, { role: "right" })],
        identical && sameFile === undefined ? [finding("pair/contents-identical", {})] : [],
      ),
  },
  {
    id: "pair/pairing-declared",
    judge: ({ comparison }) => judgement([], comparison.paired ? [] : [finding("pair/pairing-undeclared", {})]),
  },
  { id: "pair/sides-mirror", judge: ({ comparison }) => judgeSides(comparison) },
  { id: "pair/numbers-agree", judge: ({ comparison }) => judgement(comparison.fields.flatMap(numberDifference), []) },
  {
    id: "pair/serial-numbers-distinct",
    judge: ({ comparison: { fields } }) => {
      const serials = fields.filter(({ means }) => means === "serial-number");
      if (serials.length === 0) return { outcome: "not-applicable", because: "the profile has no serial number" };
      return judgement(
        serials.flatMap(({ name, status, left, span }) =>
          status === "equal"
            ? [
                finding(
                  "pair/serial-number-same",
                  { field: name, value: left ?? "" },
                  { role: "right", ...(span && { span }) },
                ),
              ]
            : [],
        ),
        [],
      );
    },
  },
  {
    id: "pair/rules-hold",
    judge: ({ comparison: { rules } }) => {
      if (rules.length === 0) return { outcome: "not-applicable", because: "the profile has no pairing rule" };
      if (rules.every(({ status }) => status === "unasked")) {
        return { outcome: "not-applicable", because: "both units are coded for the same side" };
      }
      return judgement(
        rules.flatMap(({ name, rule, why, status, at, unit, expected = "", found = "" }) =>
          status === "broken"
            ? [
                finding(
                  "pair/rule-broken",
                  { rule: name, kind: rule, why, expected, found },
                  { role: unit ?? "right", ...(at && { span: at }) },
                ),
              ]
            : [],
        ),
        rules.flatMap(({ name, status, reason = "" }) =>
          status === "untold" ? [finding("pair/rule-untold", { rule: name, reason })] : [],
        ),
      );
    },
  },
  {
    id: "pair/regions-agree",
    judge: ({ comparison: { regions } }) =>
      judgement(
        regions.filter(({ role }) => mustAgree.includes(role)).map(regionDifference),
        regions.filter(({ role }) => !mustAgree.includes(role)).map(regionDifference),
      ),
  },
  {
    id: "pair/learning-told",
    judge: ({ comparison: { unlearnt } }) =>
      judgement(
        [],
        [],
        unlearnt.map(({ unit, first, ...facts }) =>
          finding("pair/learnt-in-one-only", facts, { role: unit, span: first, region: facts.region }),
        ),
      ),
  },
  {
    id: "pair/layouts-agree",
    judge: ({ comparison: { moved } }) =>
      judgement(
        moved.map((region) => finding("pair/region-moved", { region })),
        [],
      ),
  },
  {
    id: "pair/all-compared",
    judge: ({ comparison: { difference, compared, oneSided } }) => {
      if (difference.compared === 0) return judgement([], [finding("pair/nothing-compared", { free: 0 })]);
      const parts = oneSided.map(({ knownIn, region, bytes, first, erased }) =>
        finding(
          "pair/part-in-one-only",
          { knownIn, region, bytes, first: first.start, erased },
          { role: knownIn, span: first, ...(region !== undefined && { region }) },
        ),
      );
      const { free, held } = compared;
      const all = held === 0 && free > 0 ? [finding("pair/nothing-compared", { free })] : [];
      return judgement([], [...all, ...parts]);
    },
  },
];

function judgeSides({ names, sides, paired }: PairComparison) {
  if (!paired) return { outcome: "not-applicable", because: "the profile has no pairing rules" } as const;
  const { left, right } = sides;
  if (left.status === "undeclared") return judgement([], [finding("pair/sides-undeclared", {})]);
  const [a, b] = [sideTold(left), sideTold(right)];
  const wrong = [
    ...(["left", "right"] as const).flatMap((role) => {
      const side = sides[role];
      return side.status === "unlisted"
        ? [finding("pair/side-unlisted", { found: side.shown, allowed: [names.left, names.right] }, { role })]
        : [];
    }),
    ...(a !== undefined && a === b
      ? [finding("pair/same-side", { side: a }, { role: "left" }, { role: "right" })]
      : []),
    ...(a === names.right && b === names.left ? [finding("pair/sides-exchanged", { left: a, right: b })] : []),
  ];
  const open = (["left", "right"] as const).flatMap((role) =>
    sides[role].status === "unreadable" ? [finding("pair/side-unreadable", {}, { role })] : [],
  );
  return judgement(wrong, open);
}

function numberDifference({ name, means, status, left, right, span }: FieldPairing): Finding[] {
  if (status !== "different" || left === undefined || right === undefined) return [];
  const code = means && means in numberCodes ? numberCodes[means as keyof typeof numberCodes] : undefined;
  return code ? [finding(code, { field: name, left, right }, { role: "right", ...(span && { span }) })] : [];
}

function regionDifference({ region, role, bytes, runs, first, left, right }: RegionDifference): Finding {
  const facts: RegionDiffers = {
    region: region ?? "outside all regions",
    bytes,
    runs,
    first: first[0].start,
    left,
    right,
  };
  const code = (role && regionCodes[role]) ?? "pair/undescribed-differs";
  return finding(
    code as "pair/program-differs",
    facts,
    ...first.map((span) => ({ role: "right", span, ...(region !== undefined && { region }) })),
  );
}
