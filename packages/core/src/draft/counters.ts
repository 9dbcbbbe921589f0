import { lengthOf, type Span } from "../bytes/span.js";
import { type ByteOrder, readUint } from "../bytes/word.js";
import { counted } from "../findings/amounts.js";
import { bytesAt, type Family } from "./family.js";
import type { DraftedField } from "./fields.js";
import type { Variation } from "./variation.js";

/**
 * Counters: words that never fall from one read of a unit to the next, in the order in which the reads were given, and
 * that rise by far less than units differ. Of a value that only wavers either happens by chance: each rise in one of two
 * cases, and a rise of 1/r of the distance to the next unit in about two of r.
 */

/** What must speak for a word, besides the number of words that are looked at; as a logarithm to base 2. */
const fewestBits = 8;
const mostCounters = 32;

export function countersIn(family: Family, variation: Variation, content: Span): DraftedField[] {
  const repeated = family.units.filter(({ reads }) => reads.length > 1);
  const fields: DraftedField[] = [];
  if (repeated.length === 0) return fields;
  const needed = fewestBits + Math.log2(lengthOf(content));
  for (
    let start = content.start + (content.start % 2);
    start + 2 <= content.end && fields.length < mostCounters;
    start += 2
  ) {
    const found = ([4, 2] as const)
      .filter((length) => start % length === 0 && start + length <= content.end)
      .flatMap((length) => (["big", "little"] as const).map((order) => ({ length, order })))
      .map((form) => ({ form, bits: bitsFor(family, variation, { start, end: start + form.length }, form.order) }))
      .find(({ bits }) => bits >= needed);
    if (!found) continue;
    const { form, bits } = found;
    fields.push({
      span: { start, end: start + form.length },
      stem: "counter",
      belongsTo: "unit",
      way: "volatile",
      form: { type: "unsigned", ...form, required: false },
      because: `never falls between reads of ${counted(repeated.length, "unit")}, and rises by far less than units differ`,
      unconfirmed: `a counter by how it rises (chance: 2 to the power of -${Math.floor(bits)}); what it counts is not told`,
    });
    start += form.length - 2;
  }
  return fields;
}

/** What speaks for the word being a counter; 0 when it is none. */
function bitsFor(family: Family, variation: Variation, span: Span, order: ByteOrder): number {
  // The byte that rises first is the last one of a big-endian word and the first one of a little-endian word.
  if (variation.at(order === "big" ? span.end - 1 : span.start) !== "volatile") return 0;
  const units = family.units.map(({ reads }) =>
    reads.map((read) => readUint(bytesAt(family, read, span) as Uint8Array, order)),
  );
  let bits = 0;
  for (const [i, values] of units.entries()) {
    const steps = values.slice(1).map((value, k) => value - (values[k] as number));
    if (steps.some((step) => step < 0)) return 0;
    const rise = (values.at(-1) as number) - (values[0] as number);
    if (rise === 0) continue;
    bits += steps.filter((step) => step > 0).length;
    const others = units.flatMap((other, k) => (k === i ? [] : other));
    const nearest = Math.min(...others.flatMap((other) => values.map((value) => Math.abs(value - other))));
    if (others.length > 0) bits += Math.max(0, Math.log2(Math.max(1, nearest) / rise) - 1);
  }
  return bits;
}
