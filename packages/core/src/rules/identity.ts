import type { Told } from "../findings/areas/identity.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";
import type { IdentityFacts } from "../identity/facts.js";
import type { FoundMachineNumbers } from "../identity/find-machine-numbers.js";
import type { CheckDigitStanding } from "../identity/machine-number.js";
import type { IdentityReading, Source, SourcedValue } from "../identity/reading.js";
import type { VerificationObstacle } from "../identity/verification.js";
import { judgement, type Rule } from "./rule.js";

export const identityRules: readonly Rule<IdentityFacts>[] = [
  {
    id: "identity/sources-agree",
    judge: ({ readings }) => {
      const outside = ({ source }: SourcedValue) => source !== "image" && source !== "profile";
      if (!readings.some(({ values, open }) => [...values, ...open].some(outside))) {
        return { outcome: "not-applicable", because: "nothing is known of the unit from outside" };
      }
      const of = (status: IdentityReading["status"]) => readings.filter((reading) => reading.status === status);
      return judgement(
        of("disagree").map((reading) =>
          finding(
            "identity/sources-disagree",
            { subject: subjectOf(reading), told: reading.values.map(toldOf) },
            ...placesOf(reading.values),
          ),
        ),
        [
          ...of("unreadable").flatMap((reading) => unreadable(reading)),
          ...of("left-open").map((reading) =>
            finding(
              "identity/source-left-open",
              { subject: subjectOf(reading), told: reading.values.map(toldOf), open: reading.open.map(toldOf) },
              ...placesOf(reading.values),
            ),
          ),
        ],
        of("one-source").flatMap((reading) => {
          const stated = [...reading.values, ...reading.open];
          return stated.some(outside)
            ? [finding("identity/one-source", { subject: subjectOf(reading), told: stated.map(toldOf) })]
            : [];
        }),
      );
    },
  },
  {
    id: "identity/machine-number-form",
    judge: ({ machineNumbers }) => {
      if (machineNumbers.length === 0) {
        return { outcome: "not-applicable", because: "no number of a road vehicle is known" };
      }
      const of = (standing: CheckDigitStanding) =>
        machineNumbers.flatMap(({ checkDigit, values }) =>
          checkDigit?.standing === standing ? [{ ...checkDigit, values }] : [],
        );
      return judgement(
        [],
        [
          ...machineNumbers.flatMap(({ problem, values }) =>
            problem
              ? [
                  finding(
                    "identity/machine-number-malformed",
                    { told: values.map(toldOf), problem: problemTexts[problem] },
                    ...placesOf(values),
                  ),
                ]
              : [],
          ),
          ...of("fails").map(({ computed, written, values }) =>
            finding(
              "identity/machine-number-check-digit",
              { told: values.map(toldOf), computed, written },
              ...placesOf(values),
            ),
          ),
        ],
        of("fails-unrequired").map(({ computed, written, values }) =>
          finding(
            "identity/machine-number-check-digit-unused",
            { told: values.map(toldOf), computed, written },
            ...placesOf(values),
          ),
        ),
      );
    },
  },
  {
    id: "identity/verification-number",
    judge: ({ verification: { declared, undeclared } }) => {
      const answered = declared.filter((reading) => reading.obstacle !== "not-answered");
      if (answered.length === 0 && undeclared.length === 0) {
        return { outcome: "not-applicable", because: "no verification number of the unit is known" };
      }
      return judgement(
        answered.flatMap(({ name, answered: number, computed }) =>
          number !== undefined && computed !== undefined && number !== computed
            ? [finding("identity/verification-number-differs", { name, answered: number, computed })]
            : [],
        ),
        [
          ...declared.flatMap(({ name, obstacle }) =>
            obstacle ? [finding("identity/verification-number-untold", { name, reason: obstacleTexts[obstacle] })] : [],
          ),
          ...(undeclared.length > 0
            ? [finding("identity/verification-number-undeclared", { numbers: undeclared })]
            : []),
        ],
      );
    },
  },
];

/** Which of the units of a job sheet is looked at. */
export interface SheetQuestion {
  /** How many units the sheet lists; undefined where none of them is asked for. */
  readonly units: number | undefined;
  readonly side: string | undefined;
  /** How many units the sheet describes, the donor among them, when it should describe this one and does not. */
  readonly others: number;
}

export const sheetRules: readonly Rule<SheetQuestion>[] = [
  {
    id: "identity/sheet-unit-known",
    judge: ({ units, side }) =>
      units === undefined || units === 0
        ? { outcome: "not-applicable", because: "no job sheet lists units" }
        : judgement([], units > 1 && side === undefined ? [finding("identity/sheet-unit-untold", { units })] : []),
  },
  {
    id: "identity/sheet-unit-described",
    judge: ({ units, side, others }) =>
      others === 0 || (units !== undefined && units > 1 && side === undefined)
        ? { outcome: "not-applicable", because: "the job sheet need not describe this unit, or does" }
        : judgement([], [finding("identity/sheet-unit-absent", { others, side: side ?? "" })]),
  },
];

/** Asked of an image without a profile. */
export const foundMachineNumberRules: readonly Rule<FoundMachineNumbers>[] = [
  {
    id: "identity/machine-number-in-image",
    judge: ({ found }) => {
      if (found.length === 0) return { outcome: "not-applicable", because: "no number of a road vehicle was found" };
      return judgement(
        [],
        [],
        found.map(({ number, count, checkDigit, addresses }) =>
          finding(
            "identity/machine-number-found",
            { number, places: count, standing: standingTexts[checkDigit] },
            ...addresses.map((at) => placeAt(at, number)),
          ),
        ),
      );
    },
  },
];

const sourceNames: Readonly<Record<Source, string>> = {
  image: "image",
  profile: "profile",
  label: "label",
  tester: "tester",
  job: "job sheet",
};

const problemTexts: Readonly<Record<"length" | "character" | "blank", string>> = {
  length: "it does not have 17 characters",
  character: "it has a character that such numbers never have",
  blank: "it is one character repeated",
};

const standingTexts: Readonly<Record<CheckDigitStanding, string>> = {
  holds: "its check digit holds",
  fails: "its check digit is wrong",
  "fails-unrequired": "it has no check digit that holds, and its region asks for none",
  "not-used": "it has no check digit",
};

const obstacleTexts: Readonly<Record<VerificationObstacle, string>> = {
  "not-answered": "the unit answered no number for this calibration",
  "not-assigned": "which of the unit's answers it is cannot be told",
  checksum: "the checksum that it is computed by could not be computed",
  range: "what it covers is not all known",
  effort: "what it covers is out of proportion to the image",
};

function subjectOf({ subject, meaning }: IdentityReading): string {
  return subject === meaning ? subject.replaceAll("-", " ") : `value of ${subject}`;
}

/** A value and who says it, as a finding tells it. */
export function toldOf({ source, origin, shown }: SourcedValue): Told {
  const by = sourceNames[source];
  return {
    by: source === "image" || source === "profile" || source === "tester" ? `${by} (${origin})` : by,
    value: shown,
  };
}

function placesOf(values: readonly SourcedValue[]): Place[] {
  return values.flatMap(({ span }) => (span ? [{ span }] : []));
}

function placeAt(start: number, number: string): Place {
  return { span: { start, end: start + number.length } };
}

/** What nobody else states is reported where the fields are judged. */
function unreadable(reading: IdentityReading): Finding[] {
  const stated = [...reading.values, ...reading.open];
  if (stated.length === 0) return [];
  const fields = reading.unreadable.map(({ field }) => field);
  const places = reading.unreadable.flatMap(({ span }) => (span ? [{ span }] : []));
  return [
    finding("identity/source-unreadable", { subject: subjectOf(reading), fields, told: stated.map(toldOf) }, ...places),
  ];
}
