import { MEMORY_END, type Span } from "../bytes/span.js";
import type { A2lBlock } from "./a2l-blocks.js";
import { behind, countIn } from "./a2l-number.js";
import type { Alignments } from "./a2l-types.js";
import { laidOut, MOST_POINTS, type ObjectKind, type ObjectPart, type StoredCount } from "./laid-out.js";
import type { RecordLayout } from "./record-layout.js";

/** Something that a description names: a single value, a text, a block, a curve, a map, or the points of an axis. */
export interface NamedObject {
  readonly name: string;
  readonly kind: ObjectKind;
  readonly span: Span;
  /** Whether its size is known; else `span` is its first byte. */
  readonly sized: boolean;
  /** The parts of its record: what they hold, where, and how many values stand in a line. */
  readonly parts: readonly ObjectPart[];
  /** Numbers in the memory that must be so for the parts to lie where they are said to. */
  readonly counts: readonly StoredCount[];
}

const kinds: Readonly<Record<string, ObjectKind>> = {
  VALUE: "value",
  ASCII: "text",
  VAL_BLK: "block",
  CURVE: "curve",
  MAP: "map",
  CUBOID: "cuboid",
  CUBE_4: "cuboid",
  CUBE_5: "cuboid",
};

/** Why an object is not named. */
export type Nameless = "no-address" | "virtual" | "address-extension";

/**
 * The object in a block CHARACTERISTIC (name, description, kind, address, layout ...) or AXIS_PTS (name, description,
 * address, input, layout, limit, conversion, points ...); their grammar: ASAM MCD-2 MC 1.6, from memory.
 */
export function objectOf(
  block: A2lBlock,
  layouts: ReadonlyMap<string, RecordLayout>,
  alignments: Alignments,
): NamedObject | Nameless {
  const { keyword, tokens, blocks } = block;
  const isAxis = keyword === "AXIS_PTS";
  const [name, , third, fourth, fifth] = tokens;
  const start = countIn(isAxis ? third : fourth, MEMORY_END - 1);
  if (blocks.some((inner) => inner.keyword === "VIRTUAL_CHARACTERISTIC")) return "virtual";
  if (!name || start === undefined) return "no-address";
  const extension = behind(tokens, "ECU_ADDRESS_EXTENSION", 1)?.[0];
  if (extension && countIn(extension, 0) === undefined) return "address-extension";
  const known = isAxis ? "axis" : Object.hasOwn(kinds, third?.text ?? "") ? kinds[third?.text ?? ""] : undefined;
  const layout = layouts.get(fifth?.text ?? "");
  const stated = isAxis ? [countIn(tokens[7], MOST_POINTS)] : axesOf(block);
  const points = stated.map((most, axis) => layout?.points[axis] ?? most);
  const laid =
    known && layout?.complete
      ? laidOut({ kind: known, points, number: numberOf(block) }, start, layout, {
          ...alignments,
          ...layout.alignments,
        })
      : undefined;
  const sized = laid !== undefined && laid.end > start && laid.end <= MEMORY_END;
  return {
    name: name.text,
    kind: known ?? "block",
    span: { start, end: sized ? laid.end : start + 1 },
    sized,
    parts: sized ? laid.parts : [],
    counts: sized ? laid.counts : [],
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
  for (const token of behind(tokens, "MATRIX_DIM", 5) ?? []) {
    const side = countIn(token, MOST_POINTS);
    if (side === undefined) break;
    sides.push(side);
  }
  return sides.length === 0 ? undefined : sides.reduce((all, side) => all * side, 1);
}
