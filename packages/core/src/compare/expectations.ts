import { type PrivateValue, spelt } from "../identity/private.js";
import type { IdentityReading, SourcedValue } from "../identity/reading.js";
import type { Outside } from "../job/outside.js";
import { sameNumber, sameWord } from "../profile/number.js";
import type { Expected } from "../profile/schema/donor.js";
import { meaningConcernsOwner } from "../profile/schema/field.js";

/** Something that a donor must say of itself, and what it says. */
export interface ExpectationStanding {
  readonly expected: Expected;
  /**
   * `met` and `missed`: every source that speaks of it says one of the values, or one says none of them. `open`: the
   * tester's answers are other values, and whether they are the same thing is not known. `untold`: nobody says it.
   */
  readonly standing: "met" | "missed" | "open" | "untold";
  readonly told: readonly SourcedValue[];
}

/**
 * What `expects` asks of a donor, held against what is known of it: by its meaning from image, label and tester
 * (`readings`), and by its name from the job sheet (`outside`).
 */
export function compareExpectations(
  expects: readonly Expected[],
  readings: readonly IdentityReading[],
  outside: Outside | undefined,
): readonly ExpectationStanding[] {
  return expects.map((expected) => {
    const { name, means, oneOf } = expected;
    const reading = readings.find(({ subject }) => subject === means);
    const named = (outside?.identifications.get(name) ?? []).map(
      (shown): SourcedValue => ({ source: "tester", origin: name, shown, certainty: "same" }),
    );
    const same = means !== undefined && means !== "boot-version" && means !== "build" ? sameNumber : sameWord;
    const isWanted = ({ shown }: SourcedValue) => oneOf.some((one) => same(one, shown));
    const values = [...(reading?.values ?? []), ...named];
    const open = reading?.open ?? [];
    const sources = new Set(values.map(({ source, origin }) => sourceKey(source, origin)));
    const agree = [...sources].every((key) =>
      values.some((value) => sourceKey(value.source, value.origin) === key && isWanted(value)),
    );
    if (values.length > 0) return { expected, standing: agree ? "met" : "missed", told: values };
    if (open.length === 0) return { expected, standing: "untold", told: [] };
    return { expected, standing: open.some(isWanted) ? "met" : "open", told: open };
  });
}

/** What was expected and told of an owner's things: a private report leaves it out. */
export function privateExpectations(standings: readonly ExpectationStanding[]): readonly PrivateValue[] {
  return standings.flatMap(({ expected: { name, means, oneOf }, told }) =>
    means !== undefined && meaningConcernsOwner(means)
      ? [...oneOf, ...told.map(({ shown }) => shown)].map((shown) => spelt(name, shown))
      : [],
  );
}

/** A label and a tester's answer may each state several values of one thing, and one of them is meant. */
function sourceKey(source: SourcedValue["source"], origin: string): string {
  return `${source} ${origin}`;
}
