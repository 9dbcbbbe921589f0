import { type Span, subtract } from "../bytes/span.js";
import type { ChecksumFacts } from "../checksums/facts.js";
import { fieldNamed, type Unit } from "../unit/unit.js";

/** A read seen through its profile, with its checksums for when they matter. */
export interface SeenRead {
  readonly unit: Unit;
  readonly checksums: () => readonly ChecksumFacts[];
}

/** A value that two reads state differently. */
export interface OwnValue {
  readonly field: string;
  readonly first: string;
  readonly other: string;
}

/** What only one unit has: two reads of one unit never state two of these. */
const particular = new Set(["serial-number", "machine-number"]);

/** The first read before that of `number` that is of another unit for certain, and the values that say so. */
export function firstOfOtherUnit(
  reads: readonly SeenRead[],
  number: number,
): { readonly number: number; readonly values: readonly OwnValue[] } | undefined {
  const its = reads[number];
  for (const [i, own] of reads.slice(0, number).entries()) {
    const values = its ? valuesOfTwoUnits(own, its) : [];
    if (values.length > 0) return { number: i, values };
  }
  return undefined;
}

/**
 * The serial and machine numbers that two reads state differently where a checksum that covers the number holds in both:
 * then neither was misread, and the reads were made of two units. Nothing where that cannot be told.
 */
function valuesOfTwoUnits(first: SeenRead, other: SeenRead): OwnValue[] {
  return first.unit.fields.flatMap((own) => {
    const { field } = own;
    const twin = fieldNamed(other.unit, field.name);
    if (!field.means || !particular.has(field.means)) return [];
    if (!("shown" in own) || !twin || !("shown" in twin) || own.shown === twin.shown) return [];
    const confirmed = holdsOver(first.checksums(), own.span) && holdsOver(other.checksums(), twin.span);
    return confirmed ? [{ field: field.name, first: own.shown, other: twin.shown }] : [];
  });
}

function holdsOver(checksums: readonly ChecksumFacts[], span: Span): boolean {
  return checksums.some(({ status, covered }) => status === "holds" && subtract([span], covered).length === 0);
}
