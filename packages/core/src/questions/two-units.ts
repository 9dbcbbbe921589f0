import type { ChecksumFacts } from "../checksums/measure.js";
import type { OwnValue } from "../rules/reads.js";
import type { Unit } from "../unit/unit.js";

/** A read seen through its profile, with its checksums for when they matter. */
export interface SeenRead {
  readonly unit: Unit;
  readonly checksums: () => readonly ChecksumFacts[];
}

/** What only one unit has: two reads of one unit never state two of these. */
const particular = new Set(["serial-number", "machine-number"]);

/**
 * The serial and machine numbers that two reads state differently, if every checksum holds in both: then neither number
 * was misread, and the reads were made of two units. Nothing where that cannot be told.
 */
export function valuesOfTwoUnits(first: SeenRead, other: SeenRead): OwnValue[] {
  const its = shownValues(other.unit);
  const unequal = [...shownValues(first.unit)].flatMap(([field, shown]) => {
    const twin = its.get(field);
    return twin === undefined || twin === shown ? [] : [{ field, first: shown, other: twin }];
  });
  return unequal.length > 0 && allHold(first.checksums()) && allHold(other.checksums()) ? unequal : [];
}

function shownValues({ fields }: Unit): Map<string, string> {
  return new Map(
    fields.flatMap((reading) =>
      "shown" in reading && reading.field.means && particular.has(reading.field.means)
        ? [[reading.field.name, reading.shown]]
        : [],
    ),
  );
}

function allHold(checksums: readonly ChecksumFacts[]): boolean {
  return checksums.length > 0 && checksums.every(({ status }) => status === "holds");
}
