import { latin1 } from "../bytes/text.js";
import { type Finding, type FindingCode, finding } from "../findings/catalogue.js";
import type { RecordFormat } from "./decoded.js";
import { isDigit, pairAt } from "./digits.js";
import type { Stretch } from "./text.js";

/** What is wrong with one record, before anybody says in which line. */
export type Damage =
  | { readonly kind: "checksum-wrong"; readonly stated: number; readonly computed: number }
  | {
      readonly kind: "length-wrong";
      readonly expected: number | undefined;
      readonly got: number;
      readonly countsWords: boolean;
    }
  | { readonly kind: "digits-odd" | "record-cut"; readonly expected: number | undefined; readonly got: number }
  | { readonly kind: "digit-wrong"; readonly at: number }
  | { readonly kind: "mark-missing"; readonly mark: string }
  | { readonly kind: "address-overflow"; readonly address: number; readonly length: number; readonly end: number }
  | { readonly kind: "type-unknown"; readonly type: string }
  | { readonly kind: "control-length-wrong"; readonly type: string; readonly expected: number; readonly got: number };

/** Digits of the longest record of either format: 255 bytes that the length field counts, and the fields around them. */
const MOST_DIGITS = 2 * (255 + 5);

/** How many digits follow each other from `at` on, counted up to just more than any record has. */
export function countDigits(bytes: Uint8Array, { start, end }: Stretch): number {
  const last = Math.min(end, start + MOST_DIGITS + 2);
  let at = start;
  while (at < last && isDigit(bytes[at] as number)) at++;
  return at - start;
}

/** The sum of the bytes that `count` digits from `at` on spell. They must be digits. */
export function sumOfDigits(bytes: Uint8Array, at: number, count: number): number {
  let sum = 0;
  for (let i = 0; i < count; i += 2) sum += pairAt(bytes, at + i);
  return sum;
}

/**
 * What keeps the digits of a record from being `expected` in number, or undefined when they are. `record` starts
 * after the mark and has no fillers at its end; `cut`: the file ends there, without a line end.
 */
export function digitDamage(
  bytes: Uint8Array,
  record: Stretch,
  expected: number | undefined,
  cut: boolean,
): Damage | undefined {
  const got = countDigits(bytes, record);
  if (got === expected) return undefined;
  const short = expected === undefined || got < expected;
  if (short && record.start + got < record.end) return { kind: "digit-wrong", at: record.start + got };
  if (short && cut) return { kind: "record-cut", expected, got };
  if (got % 2 === 1) return { kind: "digits-odd", expected, got };
  return { kind: "length-wrong", expected, got, countsWords: false };
}

/** Where a damaged record stands and how much of it is shown. */
export interface DamagePlace {
  readonly line: number;
  /** Where its mark stands in the file. */
  readonly offset: number;
  /** Where the line starts in the file: columns are counted from there. */
  readonly lineStart: number;
  /** How many characters of it are shown: up to its address and no further. */
  readonly shown: number;
}

/** The finding that says `damage` of a record of `format`. */
export function damageFinding(
  format: RecordFormat,
  damage: Damage,
  bytes: Uint8Array,
  { line, offset, lineStart, shown }: DamagePlace,
): Finding {
  let end = offset;
  while (end < Math.min(offset + shown, bytes.length) && (bytes[end] as number) > 0x20) end++;
  const record = latin1(bytes.subarray(offset, end));
  const { kind, ...values } =
    damage.kind === "digit-wrong"
      ? { kind: damage.kind, column: damage.at - lineStart + 1, character: bytes[damage.at] }
      : damage;
  // Each kind is spelt as its code and carries what that code tells; the two types cannot be tied together here.
  return finding(`${format}/${kind}` as FindingCode, { line, record, ...values } as never, { line, offset });
}
