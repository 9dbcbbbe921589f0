import type { Family, Variant } from "./family.js";
import type { Hit } from "./hit.js";

/**
 * Whether a range and its value together come to a constant whatever is in them, so that any word of both is what the
 * others ask for: XOR, and sums whose value is stored as complement or negated, of words as they are added up.
 */
export function isClosed(family: Family, variant: Variant, { place, start, end, stored, order }: Hit): boolean {
  if (place === "whole") return true;
  const touches = place === "inside" || stored === end || stored + family.width / 8 === start;
  const constant = family.kind === "xor" || (family.kind === "add" && variant.form !== "value");
  return touches && constant && family.order === order;
}
