import type { Span } from "../bytes/span.js";
import { fromLatin1 } from "../bytes/text.js";
import { concernsOwner } from "../profile/schema/field.js";
import type { FieldReading } from "../unit/field.js";
import type { FoundMachineNumbers } from "./find-machine-numbers.js";
import type { IdentityReading } from "./reading.js";

/** A value that belongs to an owner: as it is shown, its bytes, and where they stand. Empty where there is no value. */
export interface PrivateValue {
  /** The field, or the meaning, that holds it. */
  readonly field: string;
  readonly shown: string;
  readonly bytes: Uint8Array;
  /** Where it stands in the memory, when that is known. */
  readonly span?: Span;
}

/** What was read and found of one unit that may belong to an owner. */
export interface Told {
  readonly fields?: readonly FieldReading[];
  readonly readings?: readonly IdentityReading[];
  readonly found?: FoundMachineNumbers;
}

/** Every spelling of an owner's value in what was told of one unit: what a private report leaves out. */
export function privateValues({ fields = [], readings = [], found }: Told): readonly PrivateValue[] {
  return [
    ...readings.flatMap(({ private: owned, subject, values, open }) =>
      owned ? [...values, ...open].map(({ shown }) => spelt(subject, shown)) : [],
    ),
    ...(found?.found ?? []).map(({ number }) => spelt("machine-number", number)),
    ...fields.flatMap((reading): PrivateValue[] => {
      if (!concernsOwner(reading.field) || !("span" in reading)) return [];
      const { span } = reading;
      const field = reading.field.name;
      if ("shown" in reading) return [{ field, shown: reading.shown, bytes: reading.bytes, span }];
      return [{ field, shown: "", bytes: new Uint8Array(0), span }];
    }),
  ];
}

/** A value that somebody wrote down: as it stands there, and as bytes. */
export function spelt(field: string, shown: string): PrivateValue {
  return { field, shown, bytes: fromLatin1(shown) ?? new Uint8Array(0) };
}
