import type { A2lBlock } from "./a2l-blocks.js";
import { countIn } from "./a2l-number.js";
import { type Alignments, alignmentsIn, type ValueType, valueTypes } from "./a2l-types.js";

/** How the values of an object lie in the memory: the parts of a record, in their order. */
export interface RecordLayout {
  readonly parts: readonly LayoutPart[];
  /** Whether all that is in it is understood; else nothing in it has a place. */
  readonly complete: boolean;
  /** Whether every part stays where it is when an axis has fewer points than it may have. */
  readonly fixed: boolean;
  /** The number of points of each axis, x first, where the layout itself states it. */
  readonly points: readonly (number | undefined)[];
  /** What it says of alignment; the rest is as the whole description has it. */
  readonly alignments: Alignments;
}

export interface LayoutPart {
  /** `count`: the number of points of an axis, as the memory holds it. `single`: one value that is no part of a table. */
  readonly what: "values" | "points" | "count" | "single";
  /** Which axis it is of: 0 is x. Undefined for values and what is of no axis. */
  readonly axis: number | undefined;
  readonly position: number;
  readonly type: ValueType;
  /** How many, where the layout itself says so. */
  readonly times: number | undefined;
  /** Of values, how they lie: row by row, column by column, or each behind its point of one axis. */
  readonly order: "rows" | "columns" | "with-x" | "with-y";
  /** Of the points of an axis: whether the first lies first. */
  readonly ascending: boolean;
}

const axes = ["X", "Y", "Z", "4", "5"];

/** Parts of a record by their keyword without the axis; all of them are followed by a position and a type. */
const kinds: Readonly<Record<string, LayoutPart["what"]>> = {
  FNC_VALUES: "values",
  AXIS_PTS: "points",
  AXIS_RESCALE: "points",
  NO_AXIS_PTS: "count",
  NO_RESCALE: "single",
  SRC_ADDR: "single",
  RIP_ADDR: "single",
  OFFSET: "single",
  SHIFT_OP: "single",
  DIST_OP: "single",
  IDENTIFICATION: "single",
  RESERVED: "single",
};

/** Keywords that place nothing. */
const placeless = /^(ALIGNMENT_|FIX_NO_AXIS_PTS_|STATIC_)/;

const orders: Readonly<Record<string, LayoutPart["order"]>> = {
  ROW_DIR: "rows",
  COLUMN_DIR: "columns",
  ALTERNATE_WITH_X: "with-x",
  ALTERNATE_WITH_Y: "with-y",
};

/**
 * The layout in the block RECORD_LAYOUT (ASAM MCD-2 MC 1.6 and 1.7; from memory). Data behind a pointer, curves that
 * alternate, and what else is not understood leave it incomplete.
 */
export function readRecordLayout({ tokens }: A2lBlock): RecordLayout {
  const parts: LayoutPart[] = [];
  const points: (number | undefined)[] = [];
  let complete = true;
  let fixed = false;
  let next = 1; // past the name
  for (const [i, { kind, text }] of tokens.entries()) {
    if (i < next || kind !== "word" || !/^[A-Z][A-Z0-9_]*$/.test(text)) continue;
    const [, base = text, letter] = /^(.*)_(X|Y|Z|4|5|W)$/.exec(text) ?? [];
    const what = Object.hasOwn(kinds, base) ? kinds[base] : undefined;
    const position = countIn(tokens[i + 1], 10_000);
    const type = typeNamed(tokens[i + 2]?.text);
    if (text === "STATIC_RECORD_LAYOUT" || text === "STATIC_ADDRESS_OFFSETS") fixed = true;
    else if (base === "FIX_NO_AXIS_PTS" && letter) points[axes.indexOf(letter)] = position;
    else if (what && position !== undefined && type) {
      next = i + 3;
      const further = tokens.slice(i + 3, i + 6).map((token) => token.text);
      const part = partOf(base, { what, axis: axisOf(letter), position, type }, further);
      if (part) parts.push(part);
      else complete = false;
    } else if (position !== undefined && !placeless.test(text)) complete = false;
  }
  return {
    parts: parts.sort((a, b) => a.position - b.position),
    complete,
    fixed,
    points,
    alignments: alignmentsIn(tokens),
  };
}

function typeNamed(name: string | undefined): ValueType | undefined {
  return name !== undefined && Object.hasOwn(valueTypes, name) ? valueTypes[name] : undefined;
}

function axisOf(letter: string | undefined): number | undefined {
  const axis = axes.indexOf(letter ?? "");
  return axis < 0 ? undefined : axis;
}

/** A part with what stands behind its type; undefined when that is not understood. */
function partOf(
  base: string,
  part: Pick<LayoutPart, "what" | "axis" | "position" | "type">,
  [first = "", second = "", third = ""]: readonly string[],
): LayoutPart | undefined {
  const whole = { ...part, times: undefined, order: "rows", ascending: true } as const;
  switch (base) {
    case "FNC_VALUES": {
      const order = Object.hasOwn(orders, first) ? orders[first] : undefined;
      return order && second === "DIRECT" ? { ...whole, order } : undefined;
    }
    case "AXIS_PTS":
      return second === "DIRECT" ? { ...whole, ascending: first !== "INDEX_DECR" } : undefined;
    case "AXIS_RESCALE": {
      const pairs = /^\d{1,6}$/.test(first) ? Number(first) : undefined;
      return pairs !== undefined && third === "DIRECT" ? { ...whole, times: 2 * pairs } : undefined;
    }
    default:
      return whole;
  }
}
