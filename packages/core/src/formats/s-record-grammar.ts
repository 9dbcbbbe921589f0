import { countDigits, type Damage, digitDamage, sumOfDigits } from "./damage.js";
import { pairAt } from "./digits.js";
import type { DamagedRecord, RecordGrammar, WholeRecord } from "./record-grammar.js";
import { type Stretch, trimmedEnd } from "./text.js";

/** One S-record that is whole, by its fields. */
export interface SRecord extends WholeRecord {
  readonly address: number;
  /** Whether digits follow the checksum. */
  readonly overlong: boolean;
}

export const CAPITAL_S = 0x53;
export const SMALL_S = 0x73;
const ZERO = 0x30;

/**
 * Bytes of the address field by record type, S0 to S9 (M68000 Family Programmer's Reference Manual, Appendix C; S6,
 * a later addition: from memory). S4 is reserved.
 */
const addressLengths = [2, 2, 3, 4, undefined, 2, 3, 4, 3, 2] as const;

/** How S-records are written. The type digit is read with the mark. */
export const sRecordGrammar: RecordGrammar<SRecord> = {
  format: "s-record",
  mark: "S",
  head: 12, // S, type, count, and an address of eight digits
  marks: [CAPITAL_S, SMALL_S],
  isMark: (character) => character === CAPITAL_S || character === SMALL_S,
  beginsRecord: (bytes, at) => typeAt(bytes, at + 1) !== undefined,
  read: readSRecord,
  withoutMark,
};

/** The record type that the character at `at` states, or undefined when it is no decimal digit. */
export function typeAt(bytes: Uint8Array, at: number): number | undefined {
  const type = (bytes[at] ?? 0) - ZERO;
  return type >= 0 && type <= 9 ? type : undefined;
}

/** Whether records of `type` carry bytes of the memory: S1, S2 and S3 do. */
export function carriesData(type: number): boolean {
  return type >= 1 && type <= 3;
}

function readSRecord(bytes: Uint8Array, record: Stretch, cut: boolean): SRecord | DamagedRecord {
  const type = typeAt(bytes, record.start + 1) as number;
  const width = addressLengths[type];
  if (width === undefined) return damaged({ kind: "type-unknown", type: `S${type}` });
  const text = trimmedEnd(bytes, { start: record.start + 2, end: record.end });
  const { start } = text;
  const counted = start + 2 <= text.end ? pairAt(bytes, start) : -1;
  const expected = counted < 0 ? undefined : 2 + 2 * counted;
  const damage = digitDamage(bytes, text, expected, cut);
  if (expected === undefined) return damaged(damage as Damage);
  // Digits after a checksum that holds are told of and passed over, as loaders do.
  const overlong = countDigits(bytes, text) > expected;
  if (damage && !overlong) return damaged(damage);
  if (counted < width + 1) {
    const least = 2 + 2 * (width + 1);
    return damaged({ kind: "length-wrong", expected: least, got: countDigits(bytes, text), countsWords: false });
  }
  const stated = pairAt(bytes, start + expected - 2);
  const computed = ~sumOfDigits(bytes, start, expected - 2) & 0xff;
  if (stated !== computed) return damaged(damage ?? { kind: "checksum-wrong", stated, computed });
  const count = counted - width - 1;
  if (type >= 5 && count > 0) {
    return damaged({ kind: "control-length-wrong", type: `S${type}`, expected: 0, got: count });
  }
  let address = 0;
  for (let i = 0; i < width; i++) address = 256 * address + pairAt(bytes, start + 2 + 2 * i);
  const end = 256 ** width;
  if (carriesData(type) && address + count > end) {
    return damaged({ kind: "address-overflow", address, length: count, end });
  }
  const data = start + 2 + 2 * width;
  const isEnd = type >= 7;
  return {
    kind: "record",
    type,
    isData: carriesData(type),
    isEnd,
    count,
    address,
    data,
    end: isEnd || !overlong ? start + expected : start + countDigits(bytes, text),
    overlong,
  };
}

function damaged(damage: Damage): DamagedRecord {
  return { kind: "damaged", damage };
}

/**
 * Digits that are as many as their count asks for, after a type digit without its S, or after an S without its type
 * digit; or a line of bare digits. What comes back starts with the character in the place of the type.
 */
function withoutMark(bytes: Uint8Array, text: Stretch): Stretch | undefined {
  for (const start of [text.start, text.start + 1]) {
    const counted = { start: start + 1, end: text.end };
    const count = countDigits(bytes, counted);
    if (count >= 8 && counted.start + count === text.end && count === 2 + 2 * pairAt(bytes, counted.start)) {
      return { start, end: text.end };
    }
  }
  const digits = countDigits(bytes, text);
  return digits >= 10 && text.start + digits === text.end ? text : undefined;
}
