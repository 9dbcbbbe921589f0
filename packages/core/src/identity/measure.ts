import { dataIdentifierText } from "../job/data-identifiers.js";
import type { Outside } from "../job/outside.js";
import { type LabelMeaning, labelMeanings } from "../job/schema.js";
import { comparableNumber, comparableWord, sameNumber, sameWord } from "../profile/number.js";
import type { StatedNumber } from "../profile/schema/checksum.js";
import { concernsOwner, isNeverShown, type Meaning, meaningConcernsOwner } from "../profile/schema/field.js";
import type { Fault, FieldReading } from "../unit/field.js";
import { sideSaid } from "../unit/side.js";
import type { Unit } from "../unit/unit.js";
import { type Certainty, calibrationIdentification, identifiersOf } from "./correspondence.js";
import type { IdentityReading, Source, SourcedValue } from "./reading.js";

/** What an image that was seen through a profile says of itself. */
export type DescribedUnit = Pick<Unit, "profile" | "fields">;

/** Meanings whose dots and hyphens tell values apart. */
const words: readonly Meaning[] = ["boot-version", "side", "build"];

/** Faults with which a field still holds a text that can be compared. */
const comparableFaults: readonly Fault[] = [
  "pattern",
  "not-the-mark",
  "not-listed",
  "machine-number-form",
  "check-digit",
];

/**
 * What image, label, tester and job sheet say, meaning by meaning, and after that field by field where the profile names
 * what the tester answers with. A source may state several values of one meaning: two sources agree when they share one.
 * `stated` are numbers of the profile that its stated checksums vouch for. Without `unit` the sources outside are held against each other. What nobody speaks of is left out.
 */
export function measureIdentity(
  unit: DescribedUnit | undefined,
  outside?: Outside,
  stated: readonly StatedNumber[] = [],
): readonly IdentityReading[] {
  const fields = (unit?.fields ?? []).filter(
    ({ field, status }) => status !== "not-applicable" && !isNeverShown(field),
  );
  const claimed = new Set(fields.flatMap(({ field }) => field.answeredBy ?? []));
  return [...labelMeanings.map((meaning) => ofMeaning(meaning)), ...fields.map((reading) => ofField(reading))].flatMap(
    (reading) => reading ?? [],
  );

  function ofMeaning(meaning: LabelMeaning): IdentityReading | undefined {
    const own = fields.filter(({ field }) => field.means === meaning);
    const named = own.length === 1 ? own[0]?.field.answeredBy : undefined;
    const identifiers = named
      ? named.map((identifier) => ({ identifier, certainty: "same" as const }))
      : identifiersOf(meaning).filter(({ identifier }) => !claimed.has(identifier));
    const values = [
      ...own.flatMap((reading) => imageValue(reading, unit)),
      ...stated
        .filter(({ means }) => means === meaning)
        .map(({ number, region }) => sourced("profile", `statedNumbers of ${region}`, number)),
      ...(outside?.label[meaning] ?? []).map((shown) => sourced("label", meaning, shown)),
      ...(outside ? identifiers.flatMap((one) => answers(outside, one.identifier, one.certainty)) : []),
      ...(meaning === "machine-number" && outside?.machineNumber !== undefined
        ? [sourced("job", "machine.number", outside.machineNumber)]
        : []),
    ];
    const owned = meaningConcernsOwner(meaning) || own.some(({ field }) => concernsOwner(field));
    return readingOf(meaning, meaning, owned, own, values);
  }

  /** A field of which the profile says who else tells it, where its meaning does not decide that alone. */
  function ofField(reading: FieldReading): IdentityReading | undefined {
    const { name, means, answeredBy = [], inBuild } = reading.field;
    if (!outside) return undefined;
    const alone = means !== undefined && fields.filter(({ field }) => field.means === means).length === 1;
    const built = inBuild !== undefined && outside.build && Object.hasOwn(outside.build, inBuild);
    const values = [
      ...(alone ? [] : answeredBy).flatMap((identifier) => answers(outside, identifier, "same")),
      ...(built ? [sourced("job", `machine.build.${inBuild}`, outside.build?.[inBuild] as string)] : []),
    ];
    if (values.length === 0) return undefined;
    return readingOf(name, means, concernsOwner(reading.field), [reading], [...imageValue(reading, unit), ...values]);
  }
}

function sourced(source: Exclude<Source, "image">, origin: string, shown: string, certainty: Certainty = "same") {
  return { source, origin, shown, certainty };
}

function answers(outside: Outside, identifier: string, certainty: Certainty): SourcedValue[] {
  if (identifier === calibrationIdentification) {
    return outside.calibrations.flatMap(({ identification }) =>
      identification === undefined ? [] : [sourced("tester", "calibration identification", identification, certainty)],
    );
  }
  const origin = dataIdentifierText(identifier);
  const told = (outside.answers.get(identifier) ?? []).map((shown) => sourced("tester", origin, shown, certainty));
  const other = identifier === "F190" ? outside.answeredMachineNumber : undefined;
  return other === undefined ? told : [...told, sourced("tester", "service 09 information type 02", other, certainty)];
}

function imageValue(reading: FieldReading, unit: DescribedUnit | undefined): SourcedValue[] {
  if (!isComparable(reading)) return [];
  const { field, shown, span } = reading;
  // A side is told by the name that people use, not by the value that the memory holds for it.
  const side = unit && unit.profile.pair?.sides?.field === field.name ? sideSaid(unit) : undefined;
  return [{ source: "image", origin: field.name, shown: side ?? shown, certainty: "same", span }];
}

function isComparable(reading: FieldReading): reading is Extract<FieldReading, { shown: string }> {
  return reading.status === "read" || (reading.status === "wrong" && comparableFaults.includes(reading.fault));
}

function readingOf(
  subject: string,
  meaning: Meaning | undefined,
  owned: boolean,
  fields: readonly FieldReading[],
  all: readonly SourcedValue[],
): IdentityReading | undefined {
  const worded = (meaning && words.includes(meaning)) || fields.some(({ field }) => field.inBuild !== undefined);
  const same = samenessOf(fields, worded ? sameWord : sameNumber);
  const stated = all.filter(({ shown }) => (worded ? comparableWord : comparableNumber)(shown) !== "");
  const certain = stated.filter(({ certainty }) => certainty === "same");
  const values = stated.filter(
    ({ certainty, shown }) => certainty === "same" || certain.some((one) => same(one.shown, shown)),
  );
  const open = stated.filter((value) => !values.includes(value));
  const unreadable = fields
    .filter((reading) => !isComparable(reading))
    .map((reading) => ({ field: reading.field.name, ...("span" in reading && { span: reading.span }) }));
  if (stated.length === 0 && unreadable.length === 0) return undefined;
  const status = statusOf(values, open, unreadable.length, same);
  return { subject, meaning, private: owned, status, values, open, unreadable };
}

function statusOf(
  values: readonly SourcedValue[],
  open: readonly SourcedValue[],
  unreadable: number,
  same: Sameness,
): IdentityReading["status"] {
  const bySource = new Map<string, string[]>();
  for (const { source, shown } of values) bySource.set(source, [...(bySource.get(source) ?? []), shown]);
  const lists = [...bySource.values()];
  const apart = lists.some((one, i) =>
    lists.slice(i + 1).some((other) => !one.some((mine) => other.some((its) => same(mine, its)))),
  );
  if (apart) return "disagree";
  if (unreadable > 0 && !bySource.has("image")) return "unreadable";
  if (open.length > 0 && values.length > 0 && !bySource.has("tester")) return "left-open";
  return bySource.size > 1 ? "agree" : "one-source";
}

type Sameness = (a: string, b: string) => boolean;

/** When two values of a subject are the same. What a field holds as a number is compared as one. */
function samenessOf(fields: readonly FieldReading[], otherwise: Sameness): Sameness {
  if (fields.length === 0 || fields.some(({ field }) => field.type !== "unsigned")) return otherwise;
  const base = fields.every(({ field }) => field.type === "unsigned" && field.show === "hex") ? "hex" : "decimal";
  return (a, b) => numberIn(a, base) === numberIn(b, base);
}

/** The number that `shown` spells, as text: digits without 0x before them are of `base`. What spells none stays as it is. */
function numberIn(shown: string, base: "decimal" | "hex"): string {
  const digits = comparableNumber(shown);
  if (/^0X[0-9A-F]+$/.test(digits)) return BigInt(digits).toString();
  if (base === "hex" && /^[0-9A-F]+$/.test(digits)) return BigInt(`0x${digits}`).toString();
  return base === "decimal" && /^[0-9]+$/.test(digits) ? BigInt(digits).toString() : digits;
}
