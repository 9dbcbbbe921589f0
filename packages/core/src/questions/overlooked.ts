import { type Span, subtract } from "../bytes/span.js";
import type { Coverage } from "../checksums/coverage.js";
import { type ChecksumFacts, spansOf } from "../checksums/facts.js";
import type { Unit } from "../unit/unit.js";

/** Parts of a unit that nothing is asked about: addresses, and fields by name. */
export interface Overlooked {
  readonly spans: readonly Span[];
  readonly fields: ReadonlySet<string>;
}

/** What was measured, without what is not asked about. */
export function withoutOverlooked(
  measured: { readonly unit: Unit; readonly checksums: readonly ChecksumFacts[]; readonly coverage: Coverage },
  overlooked: Overlooked | undefined,
): typeof measured {
  if (!overlooked) return measured;
  const { spans, fields } = overlooked;
  const inside = (own: readonly Span[]) => own.length > 0 && subtract(own, spans).length === 0;
  const { unit, checksums, coverage } = measured;
  return {
    unit: {
      ...unit,
      fields: unit.fields.filter(
        (reading) => !fields.has(reading.field.name) && !("span" in reading && inside([reading.span])),
      ),
    },
    checksums: checksums.filter((checksum) => checksum.absence?.kind !== "blank" || !inside(spansOf(checksum))),
    coverage: {
      ...coverage,
      uncovered: coverage.uncovered
        .map((region) => ({ ...region, spans: subtract(region.spans, spans) }))
        .filter((region) => region.spans.length > 0),
    },
  };
}
