import type { Statistics } from "../../soundness/measure.js";
import type { Legibility } from "../../soundness/order/legibility.js";

/** The share of known code and text from which on content can be told. */
export const legibleLeast = 0.08;

/** How legible content is: text counts twice, being the same for every processor. */
export function legible({ code, text }: Legibility, across = 0): number {
  return code + 2 * (text + across);
}

/** Whether content is known code or text. Of anything else, such as lists of numbers, habits look like faults. */
export function isKnownContent({ order: { asIs } }: Statistics): boolean {
  return legible(asIs) >= legibleLeast;
}

/** Whether lines stand still or move together as in a list of numbers that are small, or even. */
export function areNumbers(statistics: Statistics): boolean {
  const { stuck, shorted } = statistics.dataLines;
  return !isKnownContent(statistics) && [...stuck, ...shorted].some(({ likeNumbers }) => likeNumbers);
}
