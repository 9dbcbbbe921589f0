import { lengthOf, type Span } from "../bytes/span.js";
import { isPrintable, latin1 } from "../bytes/text.js";
import type { Family } from "./family.js";
import { isNumberLike } from "./fields.js";
import { runsOf } from "./runs.js";

/** A part of a text that may be a number. */
const part = /[A-Z0-9]+(?:[-./_][A-Z0-9]+)*/g;
const longestText = 4096;

/**
 * Numbers, written as text, that are not the same in all reads of one unit. A unit does not give itself another number:
 * the reads are of two units, or a counter is written as text.
 */
export function numbersThatChange({ units, stretches }: Family): readonly Span[] {
  return stretches.flatMap(({ start, length, contents }) =>
    units.flatMap(({ reads }) => {
      const own = reads.map((read) => contents[read] as Uint8Array);
      const [first, ...others] = own;
      if (!first || others.length === 0) return [];
      const printable = (address: number) => own.every((bytes) => isPrintable(bytes[address - start] as number));
      const differs = (span: Span) => {
        for (let at = span.start - start; at < span.end - start; at++) {
          if (others.some((bytes) => bytes[at] !== first[at])) return true;
        }
        return false;
      };
      return runsOf({ start, end: start + length }, printable)
        .filter((run) => lengthOf(run) <= longestText && differs(run))
        .flatMap((run) => numbersIn(latin1(first.subarray(run.start - start, run.end - start)), run.start))
        .filter(
          (span) =>
            differs(span) &&
            own.every((bytes) => isNumberLike(latin1(bytes.subarray(span.start - start, span.end - start)))),
        );
    }),
  );
}

function numbersIn(text: string, start: number): Span[] {
  return [...text.matchAll(part)].map(({ index, 0: { length } }) => ({
    start: start + index,
    end: start + index + length,
  }));
}
