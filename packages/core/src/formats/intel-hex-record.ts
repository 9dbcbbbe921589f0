import { countDigits, type Damage, digitDamage, sumOfDigits } from "./damage.js";
import { pairAt } from "./digits.js";
import type { DamagedRecord, RecordGrammar, WholeRecord } from "./record-grammar.js";
import { type Stretch, trimmedEnd } from "./text.js";

/** One record of Intel HEX that is whole, by its fields. */
export interface HexRecord extends WholeRecord {
  /** The 16-bit address field. */
  readonly loadOffset: number;
}

/** The record mark. */
export const COLON = 0x3a;

/** Characters of a record before its data: mark, length, address, type. */
export const HEX_HEAD = 9;

/** The record types (Intel 1988). */
export const hexTypes = { data: 0, end: 1, segmentBase: 2, segmentStart: 3, linearBase: 4, linearStart: 5 } as const;

/** Data bytes of the records that carry none of the memory. */
const controlLengths: Readonly<Record<number, number>> = { 1: 0, 2: 2, 3: 4, 4: 2, 5: 4 };

/** How Intel HEX is written. */
export const hexGrammar: RecordGrammar<HexRecord> = {
  format: "intel-hex",
  mark: ":",
  head: HEX_HEAD,
  marks: [COLON],
  isMark: (character) => character === COLON,
  beginsRecord: () => true,
  read: readHexRecord,
  withoutMark,
};

function readHexRecord(bytes: Uint8Array, record: Stretch, cut: boolean): HexRecord | DamagedRecord {
  const text = trimmedEnd(bytes, { start: record.start + 1, end: record.end });
  const { start } = text;
  const count = start + 2 <= text.end ? pairAt(bytes, start) : -1;
  const expected = count < 0 ? undefined : 10 + 2 * count;
  // Text may follow a complete record: its digits end where they should, whatever comes then.
  const damage = digitDamage(bytes, text, expected, cut);
  if (damage || expected === undefined) return damaged(withWords(bytes, text, damage as Damage, count));
  const stated = pairAt(bytes, start + expected - 2);
  const computed = -sumOfDigits(bytes, start, expected - 2) & 0xff;
  if (stated !== computed) return damaged({ kind: "checksum-wrong", stated, computed });
  const type = pairAt(bytes, start + 6);
  const length = type === hexTypes.data ? count : controlLengths[type];
  if (length === undefined) return damaged({ kind: "type-unknown", type: typeText(type) });
  if (length !== count) {
    return damaged({ kind: "control-length-wrong", type: typeText(type), expected: length, got: count });
  }
  return {
    kind: "record",
    type,
    isData: type === hexTypes.data,
    isEnd: type === hexTypes.end,
    count,
    loadOffset: 256 * pairAt(bytes, start + 2) + pairAt(bytes, start + 4),
    data: start + 8,
    end: start + expected,
  };
}

function damaged(damage: Damage): DamagedRecord {
  return { kind: "damaged", damage };
}

function typeText(type: number): string {
  return type.toString(16).toUpperCase().padStart(2, "0");
}

/** INHX16 looks the same and counts words of 16 bits, four digits each: worth telling from a torn line. */
function withWords(bytes: Uint8Array, text: Stretch, damage: Damage, count: number): Damage {
  if (damage.kind !== "length-wrong" || count < 1) return damage;
  const countsWords = damage.got === 10 + 4 * count && (sumOfDigits(bytes, text.start, damage.got) & 0xff) === 0;
  return { ...damage, countsWords };
}

/**
 * Bare digits, or, after up to four other characters, digits that are as many as the first two ask for or whose
 * checksum holds. A remark seldom is either.
 */
function withoutMark(bytes: Uint8Array, text: Stretch): Stretch | undefined {
  let start = text.start;
  while (start < text.end && start - text.start < 4 && countDigits(bytes, { start, end: text.end }) === 0) start++;
  const count = countDigits(bytes, { start, end: text.end });
  if (count < 10 || start + count !== text.end) return undefined;
  const fits = count === 10 + 2 * pairAt(bytes, start);
  const holds = count % 2 === 0 && (sumOfDigits(bytes, start, count) & 0xff) === 0;
  return fits || holds || start === text.start ? { start, end: text.end } : undefined;
}

/**
 * Whether the damaged record with these digits may have been a base address: it is about as long as one, and its type
 * says so, or says nothing that is defined, or would make the checksum hold if it said so.
 */
export function mayPlace(bytes: Uint8Array, digits: Stretch): boolean {
  const { start, end } = trimmedEnd(bytes, digits);
  const length = end - start;
  if (length > 16) return false;
  const type = length < 8 ? -1 : pairAt(bytes, start + 6);
  if (type === hexTypes.segmentBase || type === hexTypes.linearBase) return true;
  if (length < 13) return false;
  if (type !== hexTypes.data && controlLengths[type] === undefined) return true;
  if (countDigits(bytes, { start, end }) !== 14) return false;
  const rest = sumOfDigits(bytes, start, 14) - type;
  return [hexTypes.segmentBase, hexTypes.linearBase].some((other) => ((rest + other) & 0xff) === 0);
}
