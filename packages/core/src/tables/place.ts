import type { Span } from "../bytes/span.js";
import type { ObjectPart } from "../names/laid-out.js";
import { type NamedPlace, partAt } from "../names/place.js";
import type { DataTable } from "./find.js";

/**
 * Which rows, values or points of `table` a run of addresses meets, as a named place tells it, counted from 1; undefined
 * when it meets none of them.
 */
export function partOfTable(table: DataTable, span: Span): NamedPlace["part"] {
  const { rows, columns, values, width, axes } = table;
  const line = (columns * width) / 8;
  const parts: ObjectPart[] = [
    rows > 1 ? { what: "rows", span: values, step: line } : { what: "values", span: values, step: width / 8 },
    ...axes.map(
      ({ what, span: own, width: bits }): ObjectPart => ({
        what: what === "columns" ? "axis-x" : "axis-y",
        span: own,
        step: bits / 8,
      }),
    ),
  ];
  return partAt(parts, rows > 1 ? "map" : "curve", span);
}
