import { contains, type Span } from "../bytes/span.js";
import type { DifferingPiece } from "../compare/pieces.js";
import type { DataTable } from "../tables/find.js";
import { partOfTable } from "../tables/place.js";
import type { Report, ReportDifference } from "./schema.js";
import { reportSpan } from "./span.js";

/** The most differences that a report lists one by one; the findings count all of them. */
const differencesListed = 10_000;

/** `pieces` as the report lists them, and how many are left out of the list. */
export function reportDifferences(pieces: readonly DifferingPiece[]) {
  return {
    differences: pieces.slice(0, differencesListed).map(
      ({ span, region, rule }): ReportDifference => ({
        ...reportSpan(span),
        region: region?.name ?? null,
        explained: rule !== undefined,
        rule: rule ?? null,
      }),
    ),
    differencesLeftOut: Math.max(0, pieces.length - differencesListed),
  };
}

/** Where a difference lies. */
export function placeOf({ start, length }: ReportDifference): Span {
  return { start, end: start + length };
}

/** What a measurement description calls the places of a memory. */
export interface PlaceNames {
  readonly told: NonNullable<Report["names"]>;
  /** What it calls the bytes of a span; empty when it has no name for them. */
  readonly of: (span: Span) => NonNullable<ReportDifference["names"]>;
}

/** `difference` with the table that it lies in and the names that it has. */
export function withPlace(
  difference: ReportDifference,
  tables: readonly DataTable[],
  placeNames: PlaceNames | undefined,
): ReportDifference {
  const span = placeOf(difference);
  const names = placeNames?.of(span) ?? [];
  // What a description names is known; what the place looks like is a guess.
  const known = names.some(({ kind }) => kind !== "segment");
  const table = known ? undefined : tables.find((one) => contains(one.span, span));
  return {
    ...difference,
    ...(table && { table: reportTable(table, partOfTable(table, span) ?? null) }),
    ...(names.length > 0 && { names }),
  };
}

type ReportTable = NonNullable<ReportDifference["table"]>;

function reportTable(table: DataTable, part: ReportTable["part"]): ReportTable {
  const { span, rows, columns, width, signed, order, values, axes, certainty } = table;
  return {
    ...reportSpan(span),
    rows,
    columns,
    width,
    signed,
    order: order ?? null,
    values: reportSpan(values),
    axes: axes.map(({ what, points, width: bits, span: own }) => ({ what, points, width: bits, ...reportSpan(own) })),
    certainty,
    part,
  };
}
