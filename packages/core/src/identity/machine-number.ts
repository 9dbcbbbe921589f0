import { comparableNumber } from "../profile/number.js";
import { checkDigitOf, machineNumberProblem } from "../unit/machine-number.js";
import type { DescribedUnit } from "./measure.js";
import type { IdentityReading, SourcedValue } from "./reading.js";

/**
 * What position 9 of a well-formed number says. `not-used`: it is no digit and no X, so no check digit can be meant.
 * `fails-unrequired`: the number's region does not ask for one, so nothing follows from it.
 */
export type CheckDigitStanding = "holds" | "fails" | "fails-unrequired" | "not-used";

/**
 * Regions whose numbers carry the check digit, by the first character: 1 to 5 is North America, where 49 CFR 565.15
 * asks for it; L is China, where GB 16735 does (that from memory).
 */
const regionsWithCheckDigit = /^[1-5L]/;

/** How the check digit of a well-formed number of 17 characters stands. */
export function checkDigitStanding(number: string): CheckDigitStanding {
  const written = number.charAt(8);
  if (!/^[0-9X]$/.test(written)) return "not-used";
  if (checkDigitOf(number) === written) return "holds";
  return regionsWithCheckDigit.test(number) ? "fails" : "fails-unrequired";
}

/** What keeps `text` from being the number of a road vehicle. `blank`: it has the form, and is one character repeated. */
export function roadNumberProblem(text: string): "length" | "character" | "blank" | undefined {
  return machineNumberProblem(text) ?? (new Set(text).size === 1 ? "blank" : undefined);
}

/** A number that must have the form of a road vehicle's. */
export interface MachineNumberReading {
  /** As the first source writes it. */
  readonly shown: string;
  /** Everybody who says it. */
  readonly values: readonly [SourcedValue, ...SourcedValue[]];
  readonly problem?: "length" | "character" | "blank";
  readonly checkDigit?: { readonly standing: CheckDigitStanding; readonly computed: string; readonly written: string };
}

/**
 * The machine numbers of `readings` that are to have the form of ISO 3779: all when the job sheet speaks of a road
 * vehicle or the profile asks for the check digit, else those of 17 characters. What the field's own form already
 * refuses is left out.
 */
export function measureMachineNumbers(
  readings: readonly IdentityReading[],
  unit: DescribedUnit | undefined,
  road: boolean,
): readonly MachineNumberReading[] {
  const fields = (unit?.fields ?? []).filter(({ field }) => field.means === "machine-number");
  const all = road || fields.some(({ field }) => field.type === "text" && field.checkDigit !== undefined);
  const refused = new Set(
    fields.flatMap((reading) => (reading.status === "wrong" ? [comparableNumber(reading.shown)] : [])),
  );
  const byNumber = new Map<string, [SourcedValue, ...SourcedValue[]]>();
  for (const value of readings.find(({ subject, meaning }) => subject === meaning && meaning === "machine-number")
    ?.values ?? []) {
    const number = comparableNumber(value.shown);
    if (refused.has(number) || !(all || number.length === 17)) continue;
    const list = byNumber.get(number);
    if (list) list.push(value);
    else byNumber.set(number, [value]);
  }
  return [...byNumber].map(([number, values]) => {
    const shown = values[0].shown;
    const problem = roadNumberProblem(number);
    if (problem) return { shown, values, problem };
    const checkDigit = {
      standing: checkDigitStanding(number),
      computed: checkDigitOf(number),
      written: number.charAt(8),
    };
    return { shown, values, checkDigit };
  });
}
