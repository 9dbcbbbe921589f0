import type { Report } from "@assay/core";
import { partText } from "./names.js";
import { countOf, showAddress } from "./numbers.js";
import { hanging } from "./wrap.js";

type Difference = NonNullable<Report["differences"]>[number];
type Table = NonNullable<Difference["table"]>;
type Part = NonNullable<Table["part"]>;

/** Tables that are told; the others are counted. */
const shown = 8;

/** The differences that lie in what looks like a table: one entry a table, with its parts that differ. */
export function tableLines({ differences = [] }: Report, width: number): string[] {
  const met = new Map<number, { table: Table; runs: Difference[] }>();
  for (const difference of differences) {
    const { table } = difference;
    if (!table) continue;
    const one = met.get(table.start) ?? { table, runs: [] };
    one.runs.push(difference);
    met.set(table.start, one);
  }
  const lines = [...met.values()].map(({ table, runs }) => {
    const bytes = runs.reduce((sum, { length }) => sum + length, 0);
    const parts = partsOf(runs).map(partText).join("");
    const place = `${countOf(bytes, "byte")}, the first at ${showAddress((runs[0] as Difference).start)}`;
    return `${table.certainty === "likely" ? "likely" : "possibly"} in ${tableText(table)}${parts} (${place})`;
  });
  return [
    ...lines.slice(0, shown).flatMap((line) => hanging("", 2, line, width)),
    ...(lines.length > shown ? [`and ${countOf(lines.length - shown, "table")} more`] : []),
  ];
}

/** A table by its size, columns first, and where it and its axes stand. */
function tableText({ start, rows, columns, width, axes }: Table): string {
  const places = axes.map((axis) => showAddress(axis.start)).join(" and ");
  const size =
    rows === 1
      ? `a curve of ${columns} values of ${width} bits`
      : `${articleOf(columns)} ${columns} x ${rows} table of ${width}-bit values`;
  return `${size} at ${showAddress(start)} with ${axes.length === 1 ? "an axis" : "two axes"} at ${places}`;
}

/** Of a number of 4 to 32, as it is spoken. */
function articleOf(columns: number): string {
  return [8, 11, 18].includes(columns) ? "an" : "a";
}

/** The rows, values or points that `runs` meet, those that follow each other together. */
function partsOf(runs: readonly Difference[]): Part[] {
  const parts: Part[] = [];
  for (const { table } of runs) {
    const part = table?.part;
    if (!part) continue;
    const last = parts.at(-1);
    if (last?.what === part.what && part.first <= last.last + 1) {
      parts[parts.length - 1] = { ...last, last: Math.max(last.last, part.last) };
    } else parts.push(part);
  }
  return parts.length <= mostParts
    ? parts
    : parts.slice(0, 1).map((one) => ({ ...one, last: lastOf(parts, one.what) }));
}
/** Beyond it, only the first and the last are told. */
const mostParts = 4;

function lastOf(parts: readonly Part[], what: string): number {
  return Math.max(...parts.filter((part) => part.what === what).map(({ last }) => last));
}
