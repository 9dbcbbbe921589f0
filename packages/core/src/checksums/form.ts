import { onesComplement, twosComplement } from "../algorithms/sum.js";
import { formatValue } from "../bytes/hex.js";
import { type ByteOrder, readBigUint, writeBigUint } from "../bytes/word.js";
import type { ChecksumRule } from "../profile/schema/checksum.js";

/**
 * The bytes that a rule stores for `value`, of `length` in all. Complement and negation are taken over the stored
 * width, so what is narrower than its place fills the rest with ones.
 */
export function storedBytes(rule: ChecksumRule, value: bigint, length: number): Uint8Array {
  const { form, order } = rule.stored;
  const size = form === "value-and-complement" ? length / 2 : length;
  switch (form) {
    case "complement":
      return writeBigUint(onesComplement(value, 8 * size), size, order);
    case "negated":
      return writeBigUint(twosComplement(value, 8 * size), size, order);
    case "value-and-complement": {
      const both = new Uint8Array(length);
      both.set(writeBigUint(value, size, order));
      both.set(writeBigUint(onesComplement(value, 8 * size), size, order), size);
      return both;
    }
    default:
      return writeBigUint(value, size, order);
  }
}

/** Stored bytes as a report shows them: the value they spell in the rule's order; both halves one after the other. */
export function shownStored(rule: ChecksumRule, bytes: Uint8Array): string {
  const { form, order } = rule.stored;
  if (form !== "value-and-complement") return shownValue(bytes, order);
  const half = bytes.length / 2;
  return shownValue(bytes.subarray(0, half), order) + shownValue(bytes.subarray(half), order);
}

function shownValue(bytes: Uint8Array, order: ByteOrder): string {
  return formatValue(readBigUint(bytes, order), 8 * bytes.length);
}
