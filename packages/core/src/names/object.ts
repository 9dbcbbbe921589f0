import { MEMORY_END, type Span } from "../bytes/span.js";
import type { A2lBlock } from "./a2l-blocks.js";
import { behind, countIn } from "./a2l-number.js";
import type { LayoutPart, RecordLayout } from "./record-layout.js";

/** Something that a description names: a single value, a text, a block, a curve, a map, or the points of an axis. */
export interface NamedObject {
  readonly name: string;
  readonly kind: "value" | "text" | "block" | "curve" | "map" | "axis";
  readonly span: Span;
  /** Whether its size is known; else `span` is its first byte. */
  readonly sized: boolean;
  /** The parts of its record: what they hold, where, and how many values stand in a line. */
  readonly parts: readonly ObjectPart[];
}

export interface ObjectPart {
  /** `rows` are lines of a map; of a map that lies column by column, `columns`. */
  readonly what: "values" | "rows" | "columns" | "axis-x" | "axis-y" | "single";
  readonly span: Span;
  /** Bytes of one value, row or column. */
  readonly step: number;
}

const MOST_POINTS = 2 ** 20;

const kinds: Readonly<Record<string, NamedObject["kind"]>> = {
  VALUE: "value",
  ASCII: "text",
  VAL_BLK: "block",
  CURVE: "curve",
  MAP: "map",
};

/**
 * The object in a block CHARACTERISTIC (name, description, kind, address, layout ...) or AXIS_PTS (name, description,
 * address, input, layout, limit, conversion, points ...); their grammar: ASAM MCD-2 MC 1.6, from memory. Undefined when it
 * has no address that can be.
 */
export function objectOf(block: A2lBlock, layouts: ReadonlyMap<string, RecordLayout>): NamedObject | undefined {
  const { keyword, tokens } = block;
  const isAxis = keyword === "AXIS_PTS";
  const [name, , third, fourth, fifth] = tokens;
  const start = countIn(isAxis ? third : fourth, MEMORY_END - 1);
  if (!name || start === undefined) return undefined;
  const kind = isAxis ? "axis" : (kinds[third?.text ?? ""] ?? "block");
  const known = isAxis || kinds[third?.text ?? ""] !== undefined;
  const points = isAxis ? [countIn(tokens[7], MOST_POINTS)] : axesOf(block);
  const parts = known ? partsOf(kind, start, points, numberOf(block), layouts.get(fifth?.text ?? "")) : undefined;
  const end = parts?.at(-1)?.span.end ?? start;
  const sized = parts !== undefined && end > start && end <= MEMORY_END;
  return {
    name: name.text,
    kind,
    span: { start, end: sized ? end : start + 1 },
    sized,
    parts: sized ? parts : [],
  };
}

/** The most points of each axis. */
function axesOf({ blocks }: A2lBlock): readonly (number | undefined)[] {
  return blocks.filter(({ keyword }) => keyword === "AXIS_DESCR").map(({ tokens }) => countIn(tokens[3], MOST_POINTS));
}

/** How many values a block or a text has: NUMBER, or the product of MATRIX_DIM. */
function numberOf({ tokens }: A2lBlock): number | undefined {
  const number = countIn(behind(tokens, "NUMBER", 1)?.[0], MOST_POINTS);
  if (number !== undefined) return number;
  const sides: number[] = [];
  for (const token of behind(tokens, "MATRIX_DIM", 3) ?? []) {
    const side = countIn(token, MOST_POINTS);
    if (side === undefined) break;
    sides.push(side);
  }
  return sides.length === 0 ? undefined : sides.reduce((all, side) => all * side, 1);
}

/** The parts of an object from `start` on, one behind the other; undefined when the size of one is not known. */
function partsOf(
  kind: NamedObject["kind"],
  start: number,
  points: readonly (number | undefined)[],
  number: number | undefined,
  layout: RecordLayout | undefined,
): ObjectPart[] | undefined {
  if (!layout?.complete) return undefined;
  const parts: ObjectPart[] = [];
  let at = start;
  for (const part of layout.parts) {
    const count = countOf(part, kind, points, number);
    if (count === undefined || count > MOST_POINTS) return undefined;
    const aligned = Math.ceil(at / Math.min(part.size, 4)) * Math.min(part.size, 4);
    const span = { start: aligned, end: aligned + count * part.size };
    parts.push({ span, ...linesOf(part, kind, points) });
    at = span.end;
  }
  return parts;
}

function countOf(
  { what }: LayoutPart,
  kind: NamedObject["kind"],
  [x, y]: readonly (number | undefined)[],
  number: number | undefined,
): number | undefined {
  if (what === "single") return 1;
  if (what === "axis-x") return x;
  if (what === "axis-y") return y;
  if (kind === "value") return 1;
  if (kind === "curve" || kind === "axis") return x;
  if (kind === "map") return x === undefined || y === undefined ? undefined : x * y;
  return number;
}

function linesOf(
  { what, size, byRow }: LayoutPart,
  kind: NamedObject["kind"],
  [x = 1, y = 1]: readonly (number | undefined)[],
): Pick<ObjectPart, "what" | "step"> {
  if (what !== "values" || kind !== "map") return { what, step: size };
  return byRow ? { what: "rows", step: size * x } : { what: "columns", step: size * y };
}
