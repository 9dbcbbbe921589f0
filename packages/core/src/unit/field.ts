import { toHex } from "../bytes/hex.js";
import type { Span } from "../bytes/span.js";
import { isPrintable, latin1 } from "../bytes/text.js";
import { readBigUint } from "../bytes/word.js";
import type { Image } from "../image/image.js";
import { comparableNumber } from "../profile/number.js";
import { matchesWhole } from "../profile/pattern.js";
import type { Field } from "../profile/schema/field.js";
import { checkDigitOf, machineNumberProblem } from "./machine-number.js";
import type { Found, Obstacle } from "./place.js";

/** Why a field's bytes are there and are no value of it. */
export type Fault =
  | "not-printable"
  | "not-digits"
  | "erased"
  | "pattern"
  | "not-the-mark"
  | "not-listed"
  | "machine-number-form"
  | "check-digit";

/** What a field holds in one image. */
export type FieldReading = { readonly field: Field } & (
  | {
      readonly status: "read";
      readonly span: Span;
      readonly bytes: Uint8Array;
      readonly shown: string;
      readonly number?: bigint;
    }
  | {
      readonly status: "wrong";
      readonly span: Span;
      readonly bytes: Uint8Array;
      readonly shown: string;
      readonly fault: Fault;
      readonly number?: bigint;
    }
  | { readonly status: "unread"; readonly span: Span }
  | { readonly status: "unplaced"; readonly obstacle: Obstacle }
  | { readonly status: "not-applicable" }
);

/**
 * The value of a field that holds one: not of erased memory, nor of bytes that spell nothing. One that the profile does
 * not list, or whose form is new, is a value all the same.
 */
export function fieldValue(reading: FieldReading | undefined): string | undefined {
  if (!reading || !("shown" in reading)) return undefined;
  const read = reading.status === "read" || reading.fault === "not-listed" || reading.fault === "pattern";
  return read && comparableNumber(reading.shown) !== "" ? reading.shown : undefined;
}

/** What `field` holds at the place that was found for it. */
export function readField(field: Field, placed: Found<Span>, image: Image, erased: number | undefined): FieldReading {
  if (placed.obstacle) return { field, status: "unplaced", obstacle: placed.obstacle };
  const span = placed.value;
  const bytes = image.read(span);
  if (!bytes || bytes.length === 0) return { field, status: "unread", span };
  const { shown, number } = readValue(field, bytes);
  const read = { field, span, bytes, shown, ...(number !== undefined && { number }) };
  const fault = faultOf(field, bytes, shown, number, erased);
  return fault === undefined ? { ...read, status: "read" } : { ...read, status: "wrong", fault };
}

function readValue(field: Field, bytes: Uint8Array): { readonly shown: string; readonly number?: bigint } {
  switch (field.type) {
    case "hex":
      return { shown: toHex(bytes) };
    case "unsigned": {
      const whole = readBigUint(bytes, field.order ?? "big");
      const number = field.bits ? (whole >> BigInt(field.bits.from)) & ((1n << BigInt(field.bits.count)) - 1n) : whole;
      return { shown: field.show === "hex" ? `0x${number.toString(16)}` : number.toString(), number };
    }
    case "bcd":
      return { shown: toHex(unpadded(bytes, field.padding)) };
    default:
      return { shown: latin1(unpadded(bytes, field.padding)) };
  }
}

/** Whether two readings of a field differ in its own bits only: what stands beside a group of bits in its bytes is not the field's. */
export function differOnlyInField(first: FieldReading, second: FieldReading | undefined): boolean {
  const { field } = first;
  if (field.type !== "unsigned" || !field.bits) return true;
  if (!second || !("bytes" in first) || !("bytes" in second)) return false;
  const { from, count } = field.bits;
  const own = ((1n << BigInt(count)) - 1n) << BigInt(from);
  const beside = (bytes: Uint8Array) => readBigUint(bytes, field.order ?? "big") & ~own;
  return beside(first.bytes) === beside(second.bytes);
}

/** Without the bytes at the end that only fill it. */
function unpadded(bytes: Uint8Array, padding: string | undefined): Uint8Array {
  if (padding === undefined) return bytes;
  let end = bytes.length;
  while (end > 0 && isPadding(bytes[end - 1] as number, padding)) end--;
  return bytes.subarray(0, end);
}

function isPadding(byte: number, padding: string): boolean {
  for (let i = 0; i < padding.length; i += 2) if (Number.parseInt(padding.slice(i, i + 2), 16) === byte) return true;
  return false;
}

function faultOf(
  field: Field,
  bytes: Uint8Array,
  shown: string,
  number: bigint | undefined,
  erased: number | undefined,
): Fault | undefined {
  if (field.type === "unsigned") {
    if (field.equals !== undefined && number !== BigInt(field.equals)) return "not-the-mark";
    return field.oneOf && !field.oneOf.some((value) => BigInt(value) === number) ? "not-listed" : undefined;
  }
  if (field.equals !== undefined && shown !== field.equals) return "not-the-mark";
  // An erased place holds no value, whatever its bytes would spell.
  if (field.equals === undefined && erased !== undefined && bytes.every((byte) => byte === erased)) return "erased";
  if (field.type === "text" && (shown.length === 0 || ![...shown].every((c) => isPrintable(c.charCodeAt(0)))))
    return "not-printable";
  if ((field.type === "digits" || field.type === "bcd") && !/^[0-9]+$/.test(shown)) return "not-digits";
  if (field.oneOf && !(field.oneOf as readonly string[]).includes(shown)) return "not-listed";
  if (field.type === "hex") return undefined;
  if (field.pattern !== undefined && !matchesWhole(field.pattern, shown)) return "pattern";
  if (field.type === "text" && field.checkDigit) {
    if (machineNumberProblem(shown)) return "machine-number-form";
    if (checkDigitOf(shown) !== shown[8]) return "check-digit";
  }
  return undefined;
}
