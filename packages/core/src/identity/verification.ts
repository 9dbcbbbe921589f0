import { algorithmOf } from "../algorithms/algorithm.js";
import { formatValue } from "../bytes/hex.js";
import { totalLength } from "../bytes/span.js";
import type { TesterCalibration } from "../job/schema.js";
import { sameNumber } from "../profile/number.js";
import type { VerificationRule } from "../profile/schema/verification.js";
import { allSpansOf } from "../unit/place.js";
import { fieldNamed, type Unit } from "../unit/unit.js";

/** A checksum as it was measured: `computed` is what its place must hold, as hex, when that can be told. */
export interface ComputedChecksum {
  readonly name: string;
  readonly computed?: string;
}

/** Why a verification number could not be compared. */
export type VerificationObstacle =
  /** The tester answered with no number, or with none for this calibration. */
  | "not-answered"
  /** Several numbers were answered, and the profile does not say which of them this is. */
  | "not-assigned"
  /** The checksum that it is cannot be computed here. */
  | "checksum"
  /** What it covers has no place here, or is not all known. */
  | "range"
  /** What it covers is out of proportion to the image. */
  | "effort";

/** A verification number of the profile, as the unit answered it and as it is computed from the image. */
export interface VerificationReading {
  readonly name: string;
  /** Eight lower-case digits each. */
  readonly answered?: string;
  readonly computed?: string;
  readonly obstacle?: VerificationObstacle;
}

/** The calibration verification numbers of a unit. */
export interface VerificationReadings {
  readonly declared: readonly VerificationReading[];
  /** Numbers that the unit answered and that no entry of the profile speaks of. */
  readonly undeclared: readonly string[];
}

/** How many bytes all verification numbers of a profile together may go through: a profile is not trusted to ask for little. */
const effortFor = (unit: Unit) => 64 * 1024 * 1024 + 16 * unit.image.length;

/**
 * The verification numbers that `calibrations` state, held against those that the profile says how to compute. Nothing is
 * assumed of the algorithm: it is not standardised. `checksums` are those of the unit, measured.
 */
export function measureVerificationNumbers(
  unit: Unit | undefined,
  calibrations: readonly TesterCalibration[],
  checksums: readonly ComputedChecksum[],
): VerificationReadings {
  const rules = unit?.profile.verificationNumbers ?? [];
  const taken = new Set<TesterCalibration>();
  let effort = unit ? effortFor(unit) : 0;
  const declared = rules.map((rule, i): VerificationReading => {
    const { name } = rule;
    const answer = answerFor(rule, i, rules.length, calibrations, unit as Unit);
    if (typeof answer === "string") return { name, obstacle: answer };
    taken.add(answer);
    const answered = answer.verificationNumber;
    if (answered === undefined) return { name, obstacle: "not-answered" };
    const computed = compute(rule, unit as Unit, checksums, effort);
    if ("obstacle" in computed) return { name, answered, ...computed };
    effort -= computed.bytes;
    return { name, answered, computed: computed.value };
  });
  const undeclared = calibrations.flatMap((one) => (taken.has(one) ? [] : (one.verificationNumber ?? [])));
  return { declared, undeclared };
}

/**
 * The answer that belongs to a rule: the one whose identification is the value of the rule's field; by their order, when
 * there are as many answers as rules, where the rule names no field or the unit answered no identifications. Number and
 * order of the two answers of a unit are the same (SAE J1979).
 */
function answerFor(
  { calibration }: VerificationRule,
  index: number,
  count: number,
  calibrations: readonly TesterCalibration[],
  unit: Unit,
): TesterCalibration | VerificationObstacle {
  if (calibrations.every(({ verificationNumber }) => verificationNumber === undefined)) return "not-answered";
  if (calibration !== undefined && calibrations.some(({ identification }) => identification !== undefined)) {
    const reading = fieldNamed(unit, calibration);
    if (!reading || !("shown" in reading)) return "not-assigned";
    const named = calibrations.filter(
      ({ identification }) => identification !== undefined && sameNumber(identification, reading.shown),
    );
    return named.length === 1 ? (named[0] as TesterCalibration) : named.length === 0 ? "not-answered" : "not-assigned";
  }
  return calibrations.length === count ? (calibrations[index] as TesterCalibration) : "not-assigned";
}

type Computed =
  | { readonly value: string; readonly bytes: number }
  | { readonly obstacle: Exclude<VerificationObstacle, "not-answered" | "not-assigned"> };

function compute(
  { checksum }: VerificationRule,
  unit: Unit,
  checksums: readonly ComputedChecksum[],
  effort: number,
): Computed {
  if (typeof checksum === "string") {
    const computed = checksums.find(({ name }) => name === checksum)?.computed;
    return computed === undefined ? { obstacle: "checksum" } : { value: computed.padStart(8, "0"), bytes: 0 };
  }
  const spans = allSpansOf(checksum.over, unit.around);
  if (spans.obstacle) return { obstacle: "range" };
  const bytes = totalLength(spans.value);
  if (bytes === 0 || spans.value.some((span) => unit.image.gaps(span).length > 0)) return { obstacle: "range" };
  if (bytes > effort) return { obstacle: "effort" };
  const algorithm = algorithmOf(checksum.algorithm);
  if (bytes % algorithm.multipleOf !== 0) return { obstacle: "range" };
  const running = algorithm.start();
  for (const span of spans.value) for (const part of unit.image.within(span)) running.update(part.bytes);
  return { value: formatValue(running.value(), 32), bytes };
}
