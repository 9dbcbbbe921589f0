import type { Span } from "../bytes/span.js";
import { readUint } from "../bytes/word.js";
import { bytesAt, type Family } from "./family.js";
import type { DraftedField } from "./fields.js";
import type { Variation } from "./variation.js";
import { counted } from "./written.js";

/**
 * Counters: words that never fall from one read of a unit to the next, in the order in which the reads were given, and
 * rise by little. A word that changes at random rises by so little once in 512 times.
 */

const bitsOfStep = 9;
/** Steps that make a counter of a word. */
const fewestSteps = 2;
const small = 1 / 256;
const mostCounters = 32;

export function countersIn(family: Family, variation: Variation, content: Span): DraftedField[] {
  const repeated = family.units.filter(({ reads }) => reads.length > 1);
  const fields: DraftedField[] = [];
  if (repeated.length === 0) return fields;
  for (
    let start = content.start + (content.start % 2);
    start + 2 <= content.end && fields.length < mostCounters;
    start += 2
  ) {
    const found = ([4, 2] as const)
      .filter((length) => start % length === 0 && start + length <= content.end)
      .flatMap((length) => (["big", "little"] as const).map((order) => ({ length, order })))
      .find(({ length, order }) => isCounter(family, variation, { start, end: start + length }, order));
    if (!found) continue;
    const span = { start, end: start + found.length };
    const steps = stepsIn(family, span, found.order).filter((step) => step > 0).length;
    fields.push({
      span,
      stem: "counter",
      belongsTo: "unit",
      way: "volatile",
      form: { type: "unsigned", ...found, required: false },
      because: `rises in ${counted(steps, "step")} between reads of ${counted(repeated.length, "unit")}, and never falls`,
      unconfirmed: `${counted(steps, "step")} by little (chance: 2 to the power of -${bitsOfStep * steps}); what it counts is not told`,
    });
    start = span.end - 2;
  }
  return fields;
}

function isCounter(family: Family, variation: Variation, span: Span, order: "big" | "little"): boolean {
  // The byte that rises first is the last one of a big-endian word and the first one of a little-endian word.
  const quick = order === "big" ? span.end - 1 : span.start;
  if (variation.at(quick) !== "volatile") return false;
  const steps = stepsIn(family, span, order);
  const whole = 256 ** (span.end - span.start);
  return (
    steps.every((step) => step >= 0 && step <= small * whole) && steps.filter((step) => step > 0).length >= fewestSteps
  );
}

/** By how much the word rises from each read of a unit to the next. */
function stepsIn(family: Family, span: Span, order: "big" | "little"): number[] {
  return family.units.flatMap(({ reads }) => {
    const values = reads.map((read) => readUint(bytesAt(family, read, span) as Uint8Array, order));
    return values.slice(1).map((value, i) => value - (values[i] as number));
  });
}
