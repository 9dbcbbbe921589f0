import type { A2lBlock } from "./a2l-blocks.js";
import { countIn } from "./a2l-number.js";

/** How the values of an object lie in the memory: the parts of a record, in their order. */
export interface RecordLayout {
  readonly parts: readonly LayoutPart[];
  /** Whether a part is in it whose size is not known here: then nothing behind it has a place. */
  readonly complete: boolean;
}

export interface LayoutPart {
  readonly what: "values" | "axis-x" | "axis-y" | "single";
  readonly position: number;
  /** Bytes of one value. */
  readonly size: number;
  /** Of the values of a map: whether those of one row follow each other. */
  readonly byRow: boolean;
}

/** Bytes of a value by the name of its type (ASAM MCD-2 MC; from memory). */
const sizes: Readonly<Record<string, number>> = {
  UBYTE: 1,
  SBYTE: 1,
  BYTE: 1,
  UWORD: 2,
  SWORD: 2,
  WORD: 2,
  FLOAT16_IEEE: 2,
  ULONG: 4,
  SLONG: 4,
  LONG: 4,
  FLOAT32_IEEE: 4,
  A_UINT64: 8,
  A_INT64: 8,
  FLOAT64_IEEE: 8,
};

/** Parts of a record by their keyword; all of them are followed by a position and a type. */
const kinds: Readonly<Record<string, LayoutPart["what"]>> = {
  FNC_VALUES: "values",
  AXIS_PTS_X: "axis-x",
  AXIS_PTS_Y: "axis-y",
  NO_AXIS_PTS_X: "single",
  NO_AXIS_PTS_Y: "single",
  SRC_ADDR_X: "single",
  SRC_ADDR_Y: "single",
  IDENTIFICATION: "single",
  RIP_ADDR_W: "single",
  RIP_ADDR_X: "single",
  RIP_ADDR_Y: "single",
  OFFSET_X: "single",
  OFFSET_Y: "single",
  SHIFT_OP_X: "single",
  SHIFT_OP_Y: "single",
  DIST_OP_X: "single",
  DIST_OP_Y: "single",
  RESERVED: "single",
};

/** Keywords that place nothing: alignments, fixed counts, static records. */
const placeless = /^(ALIGNMENT_|FIX_NO_AXIS_PTS_|STATIC_)/;

/** The layout in the block RECORD_LAYOUT. */
export function readRecordLayout({ tokens }: A2lBlock): RecordLayout {
  const parts: LayoutPart[] = [];
  let complete = true;
  for (const [i, { kind, text }] of tokens.entries()) {
    if (i === 0 || kind !== "word" || !/^[A-Z][A-Z0-9_]*$/.test(text)) continue;
    const what = kinds[text];
    const position = countIn(tokens[i + 1], 10_000);
    const size = sizes[tokens[i + 2]?.text ?? ""];
    if (what && position !== undefined && size !== undefined) {
      parts.push({ what, position, size, byRow: tokens[i + 3]?.text !== "COLUMN_DIR" });
    } else if (position !== undefined && !placeless.test(text)) complete = false;
    if (/^ALTERNATE_/.test(text)) complete = false;
  }
  return { parts: parts.sort((a, b) => a.position - b.position), complete };
}
