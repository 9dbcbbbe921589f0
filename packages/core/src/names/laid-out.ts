import type { Span } from "../bytes/span.js";
import { type Alignments, alignedFrom } from "./a2l-types.js";
import type { LayoutPart, RecordLayout } from "./record-layout.js";

/** What an object is: a single value, a text, a block of values, a table over axes, or the points of an axis. */
export type ObjectKind = "value" | "text" | "block" | "curve" | "map" | "cuboid" | "axis";

export interface ObjectPart {
  /**
   * `rows` are lines of a map; of a map that lies column by column, `columns`; `planes` are the maps of a cuboid; `pairs`
   * a point and a value of a curve each.
   */
  readonly what: "values" | "rows" | "columns" | "planes" | "pairs" | `axis-${"x" | "y" | "z" | "4" | "5"}`;
  readonly span: Span;
  /** Bytes of one value, row, column, plane or pair. */
  readonly step: number;
}

/** The number of points of an axis, as the memory holds it. */
export interface StoredCount {
  readonly span: Span;
  readonly number: number;
}

/** The most points of an axis, and values of an object. */
export const MOST_POINTS = 2 ** 20;

const axisParts = ["axis-x", "axis-y", "axis-z", "axis-4", "axis-5"] as const;

/** What is to be laid out: its kind, the points of its axes, and how many values a block or a text has. */
export interface Extent {
  readonly kind: ObjectKind;
  readonly points: readonly (number | undefined)[];
  readonly number: number | undefined;
}

interface LaidOut {
  readonly parts: readonly ObjectPart[];
  readonly counts: readonly StoredCount[];
  /** One past its last byte when its axes have as many points as they may. */
  readonly end: number;
}

/** The parts of an object from `start` on, one behind the other; undefined when the size of one is not known. */
export function laidOut(
  extent: Extent,
  start: number,
  layout: RecordLayout,
  alignments: Alignments,
): LaidOut | undefined {
  const parts: ObjectPart[] = [];
  const counts: StoredCount[] = [];
  const alternating = layout.parts.find(({ order }) => order === "with-x" || order === "with-y");
  const along = alternating?.order === "with-y" ? 1 : 0;
  let met = false;
  let sure = true;
  let at = start;
  for (const part of layout.parts) {
    if (part === alternating) continue; // lies with the points of its axis
    const count = part.times ?? countOf(part, extent);
    const from = alignedFrom(at, part.type, alignments);
    if (from === undefined || count === undefined || count > MOST_POINTS) return undefined;
    if (alternating && part.what === "points" && part.axis === along) {
      const own = alternated(part, alternating, extent, from, alignments);
      if (!own) return undefined;
      met = true;
      parts.push(own);
      at = own.span.end;
      continue;
    }
    const span = { start: from, end: from + count * part.type.size };
    if (part.what === "count" && !layout.fixed) {
      // Behind a table that may be shorter the number itself has no sure place.
      if (parts.length > 0) sure = false;
      const number = extent.points[part.axis ?? 0];
      if (number === undefined) return undefined;
      counts.push({ span, number });
    }
    parts.push(...linesOf(part, extent, span));
    at = span.end;
  }
  if (alternating && !met) return undefined;
  return sure ? { parts, counts, end: at } : { parts: [], counts: [], end: at };
}

function countOf({ what, axis }: LayoutPart, { kind, points, number }: Extent): number | undefined {
  if (what === "count" || what === "single") return 1;
  if (what === "points") return points[axis ?? 0];
  if (kind === "value") return 1;
  if (kind === "text" || kind === "block") return number;
  if (points.length === 0) return undefined;
  return points.reduce((all, count) => (all === undefined || count === undefined ? undefined : all * count), 1);
}

/** What of a part is counted in lines: nothing where the points lie the other way round. */
function linesOf(
  { what, axis, type, order, times, ascending }: LayoutPart,
  { kind, points }: Extent,
  span: Span,
): ObjectPart[] {
  const { size } = type;
  const [x = 1, y = 1] = points;
  if (what === "points") {
    const name = axisParts[axis ?? 0];
    return name && ascending && times === undefined ? [{ what: name, span, step: size }] : [];
  }
  if (what !== "values") return [];
  if (kind === "map") {
    return [order === "rows" ? { what: "rows", span, step: size * x } : { what: "columns", span, step: size * y }];
  }
  if (kind === "cuboid") return points.length === 3 ? [{ what: "planes", span, step: size * x * y }] : [];
  return [{ what: "values", span, step: size }];
}

/** The points of an axis, each with its value of a curve or its line of a map behind it. */
function alternated(
  axis: LayoutPart,
  values: LayoutPart,
  { kind, points: [x, y] }: Extent,
  start: number,
  alignments: Alignments,
): ObjectPart | undefined {
  const withX = values.order === "with-x";
  const [lines, length] = kind === "map" ? (withX ? [x, y] : [y, x]) : [x, 1];
  if ((kind !== "map" && kind !== "curve") || lines === undefined || length === undefined) return undefined;
  const lineFrom = (at: number): number | undefined => {
    const point = alignedFrom(at, axis.type, alignments);
    const first = point === undefined ? undefined : alignedFrom(point + axis.type.size, values.type, alignments);
    return first === undefined ? undefined : first + length * values.type.size;
  };
  const end = lineFrom(start);
  const next = end === undefined ? undefined : lineFrom(end);
  // Where the lines would not all be of one length, what lies between them is not known.
  if (end === undefined || next === undefined || next - end !== end - start || lines * length > MOST_POINTS)
    return undefined;
  const step = end - start;
  const what = kind === "curve" ? "pairs" : withX ? "columns" : "rows";
  return { what, span: { start, end: start + lines * step }, step };
}
