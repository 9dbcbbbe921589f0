import { cellsOf, padTo } from "../terminal/cells.js";
import { wrap } from "./wrap.js";

export interface Column {
  readonly title: string;
  readonly align?: "left" | "right";
}

const gap = "  ";

/**
 * Rows under their titles, each column as wide as its widest cell, with nothing drawn between them. Where that is wider
 * than `width`, every row becomes a block of lines "title value": a value is never cut.
 */
export function table(columns: readonly Column[], rows: readonly (readonly string[])[], width: number): string[] {
  const widths = columns.map(({ title }, i) => Math.max(cellsOf(title), ...rows.map((row) => cellsOf(row[i] ?? ""))));
  const total = widths.reduce((sum, cells) => sum + cells, 0) + gap.length * (columns.length - 1);
  if (total > width) return rows.flatMap((row, i) => [...(i > 0 ? [""] : []), ...block(columns, row, width)]);
  const line = (cells: readonly string[]) =>
    columns
      .map(({ align }, i) => padTo(cells[i] ?? "", widths[i] as number, align))
      .join(gap)
      .trimEnd();
  return [line(columns.map(({ title }) => title)), ...rows.map(line)];
}

function block(columns: readonly Column[], row: readonly string[], width: number): string[] {
  const indent = Math.max(...columns.map(({ title }) => cellsOf(title))) + gap.length;
  return columns.flatMap(({ title }, i) => {
    const value = row[i] ?? "";
    const lines = wrap(value, Math.max(1, width - indent));
    return value === "" ? [] : lines.map((line, first) => padTo(first === 0 ? title : "", indent) + line);
  });
}
