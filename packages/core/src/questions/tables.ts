import { contains, type Span } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { reportSpan } from "../report/assemble.js";
import type { Report, ReportDifference } from "../report/schema.js";
import { tablesAround } from "../tables/around.js";
import type { DataTable } from "../tables/find.js";
import { partOfTable } from "../tables/place.js";

/** `report` with what looks like a table at its differences. The verdict stays what it is. */
export function withTables(report: Report, images: readonly [Image, Image]): Report {
  if (!report.differences) return report;
  const spans = report.differences.map(({ start, length }) => ({ start, end: start + length }));
  const tables = tablesAround(images, spans);
  if (tables.length === 0) return report;
  const differences = report.differences.map((difference, i) => {
    const span = spans[i] as Span;
    const table = tables.find((one) => contains(one.span, span));
    return table ? { ...difference, table: reportTable(table, partOfTable(table, span) ?? null) } : difference;
  });
  return { ...report, differences };
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
