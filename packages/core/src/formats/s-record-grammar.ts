import { countDigits, type Damage, digitDamage, sumOfDigits } from "./damage.js";
import { isDigit, pairAt } from "./digits.js";
import type { DamagedRecord, RecordGrammar, WholeRecord } from "./record-grammar.js";
import { type Stretch, trimmedEnd } from "./text.js";

/** One S-record that is whole, by its fields. */
export interface SRecord extends WholeRecord {
  readonly address: number;
  /** Whether its mark is a small letter, and whether digits follow its checksum. */
  readonly lowerCase: boolean;
  readonly digitsFollow: boolean;
}

const CAPITAL = 0x53;
const SMALL = 0x73;

/** Address bytes by type (M68000 Family Programmer's Reference Manual, Appendix C; S6 is a later addition: from memory). */
const addressLengths: Readonly<Record<number, number>> = { 0: 2, 1: 2, 2: 3, 3: 4, 5: 2, 6: 3, 7: 4, 8: 3, 9: 2 };

/** How S-records are written. */
export const sRecordGrammar: RecordGrammar<SRecord> = {
  format: "s-record",
  mark: "S",
  head: 12,
  isMark: (character) => character === CAPITAL || character === SMALL,
  beginsRecord: (bytes, at) => {
    const type = (bytes[at + 1] ?? 0) - 0x30;
    return type >= 0 && type <= 9 && isDigit(bytes[at + 2] ?? 0);
  },
  read: readSRecord,
  withoutMark,
};

function readSRecord(bytes: Uint8Array, record: Stretch, cut: boolean): SRecord | DamagedRecord {
  const text = trimmedEnd(bytes, { start: record.start + 2, end: record.end });
  const { start } = text;
  const type = (bytes[record.start + 1] as number) - 0x30;
  const length = start + 2 <= text.end ? pairAt(bytes, start) : -1;
  const expected = length < 0 ? undefined : 2 + 2 * length;
  const got = countDigits(bytes, text);
  // Digits behind a complete record: it is taken as far as its own length goes, and they are told of.
  const digitsFollow = expected !== undefined && got > expected && got % 2 === 0 && holds(bytes, start, expected);
  const damage = digitsFollow ? undefined : digitDamage(bytes, text, expected, cut);
  if (damage || expected === undefined) return damaged(damage as Damage);
  const computed = ~sumOfDigits(bytes, start, expected - 2) & 0xff;
  const stated = length === 0 ? -1 : pairAt(bytes, start + expected - 2);
  const addressLength = addressLengths[type];
  const name = `S${type}`;
  if (addressLength === undefined) return damaged({ kind: "type-unknown", type: name });
  const count = length - addressLength - 1;
  if (count < 0) return damaged({ kind: "control-length-wrong", type: name, expected: addressLength + 1, got: length });
  if (stated !== computed) return damaged({ kind: "checksum-wrong", stated, computed });
  if (type >= 5 && count > 0)
    return damaged({ kind: "control-length-wrong", type: name, expected: addressLength + 1, got: length });
  let address = 0;
  for (let i = 0; i < addressLength; i++) address = 256 * address + pairAt(bytes, start + 2 + 2 * i);
  const isData = type >= 1 && type <= 3;
  const limit = 256 ** addressLength;
  if (isData && address + count > limit)
    return damaged({ kind: "address-overflow", address, length: count, end: limit });
  return {
    kind: "record",
    type,
    isData,
    isEnd: type >= 7,
    count,
    data: start + 2 + 2 * addressLength,
    end: start + expected,
    address,
    lowerCase: bytes[record.start] === SMALL,
    digitsFollow,
  };
}

function holds(bytes: Uint8Array, start: number, digits: number): boolean {
  return digits >= 2 && (sumOfDigits(bytes, start, digits) & 0xff) === 0xff;
}

function damaged(damage: Damage): DamagedRecord {
  return { kind: "damaged", damage };
}

/** A line of digits, after up to four other characters, that reads like a record from its type or its length on. */
function withoutMark(bytes: Uint8Array, text: Stretch): Stretch | undefined {
  let start = text.start;
  while (start < text.end && start - text.start < 4 && countDigits(bytes, { start, end: text.end }) === 0) start++;
  const count = countDigits(bytes, { start, end: text.end });
  if (count < 9 || start + count !== text.end) return undefined;
  const fits = [start, start + 1].some((at) => count - (at - start) === 2 + 2 * pairAt(bytes, at));
  return fits || start === text.start ? { start, end: text.end } : undefined;
}
