import { fromLatin1 } from "../bytes/text.js";
import type { FoundMachineNumbers } from "./find-machine-numbers.js";
import type { IdentityReading } from "./reading.js";

/** A value that belongs to an owner, as text and as the bytes of that text. */
export interface OwnedValue {
  readonly field: string;
  readonly shown: string;
  readonly bytes: Uint8Array;
}

/** Every spelling of an owner's value that a finding on `readings` or `found` can show: what a private report leaves out. */
export function ownedValues(readings: readonly IdentityReading[], found?: FoundMachineNumbers): readonly OwnedValue[] {
  const told = readings.flatMap(({ private: owned, subject, values, open }) =>
    owned ? [...values, ...open].map(({ shown }) => ownedValue(subject, shown)) : [],
  );
  return [...told, ...(found?.found ?? []).map(({ number }) => ownedValue("machine-number", number))];
}

function ownedValue(field: string, shown: string): OwnedValue {
  return { field, shown, bytes: fromLatin1(shown) ?? new Uint8Array(0) };
}
