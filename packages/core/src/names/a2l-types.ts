import { behind, countIn } from "./a2l-number.js";
import type { A2lToken } from "./a2l-tokens.js";

/** A type of values: its bytes, and what its alignment is called. */
export interface ValueType {
  readonly size: number;
  readonly alignment: AlignmentName;
}

const alignmentNames = ["BYTE", "WORD", "LONG", "INT64", "FLOAT16_IEEE", "FLOAT32_IEEE", "FLOAT64_IEEE"] as const;
type AlignmentName = (typeof alignmentNames)[number];

/** What a description states of alignment: the address of a value is a multiple of this. */
export type Alignments = Readonly<Partial<Record<AlignmentName, number>>>;

/** Types of values by name (ASAM MCD-2 MC; from memory). */
export const valueTypes: Readonly<Record<string, ValueType>> = {
  UBYTE: { size: 1, alignment: "BYTE" },
  SBYTE: { size: 1, alignment: "BYTE" },
  BYTE: { size: 1, alignment: "BYTE" },
  UWORD: { size: 2, alignment: "WORD" },
  SWORD: { size: 2, alignment: "WORD" },
  WORD: { size: 2, alignment: "WORD" },
  ULONG: { size: 4, alignment: "LONG" },
  SLONG: { size: 4, alignment: "LONG" },
  LONG: { size: 4, alignment: "LONG" },
  A_UINT64: { size: 8, alignment: "INT64" },
  A_INT64: { size: 8, alignment: "INT64" },
  FLOAT16_IEEE: { size: 2, alignment: "FLOAT16_IEEE" },
  FLOAT32_IEEE: { size: 4, alignment: "FLOAT32_IEEE" },
  FLOAT64_IEEE: { size: 8, alignment: "FLOAT64_IEEE" },
};

/** Every ALIGNMENT_ that stands in the words of a block. */
export function alignmentsIn(tokens: readonly A2lToken[]): Alignments {
  return Object.fromEntries(
    alignmentNames.flatMap((name) => {
      const stated = countIn(behind(tokens, `ALIGNMENT_${name}`, 1)?.[0], 64);
      return stated === undefined || stated === 0 ? [] : [[name, stated]];
    }),
  );
}

/**
 * The first address from `at` on where a value of that type may stand; undefined when that is not known. Where nothing is
 * stated a value stands at a multiple of its size; whether that holds above four bytes is not sure (from memory).
 */
export function alignedFrom(at: number, { size, alignment }: ValueType, stated: Alignments): number | undefined {
  const next = (step: number) => Math.ceil(at / step) * step;
  const own = stated[alignment];
  if (own !== undefined) return next(own);
  return next(size) === next(Math.min(size, 4)) ? next(size) : undefined;
}
