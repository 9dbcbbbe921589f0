import { MEMORY_END } from "../bytes/span.js";
import type { Damage } from "./damage.js";
import { isDigit, pairAt } from "./digits.js";
import type { DamagedRecord, RecordGrammar, WholeRecord } from "./record-grammar.js";
import { lineEndAt, type Stretch, trimmedEnd } from "./text.js";

/** One record of Tektronix extended hex that is whole, by its fields. */
export interface TektronixRecord extends WholeRecord {
  readonly address: number;
  /** Whether its checksum holds only when small letters count as digits. */
  readonly small: boolean;
}

export const PERCENT = 0x25;

/** The types of a record: the third character after the mark. */
export const tektronixTypes = { symbols: 3, data: 6, end: 8 } as const;

/** Characters of the fields before the address: length, type, checksum. */
const FIELDS = 5;

/**
 * What each character adds to the checksum: 0 to 9 and A to Z 0 to 35, $ % . _ 36 to 39, a to z 40 to 65 (from memory;
 * srec_tektronix_extended(5) has the digits only). -1: it cannot stand in a record.
 */
const values = Int8Array.from({ length: 256 }, (_, character) =>
  "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$%._abcdefghijklmnopqrstuvwxyz".indexOf(String.fromCharCode(character)),
);

/** How Tektronix extended hex is written. A name in a symbol record may hold the mark. */
export const tektronixGrammar: RecordGrammar<TektronixRecord> = {
  format: "tektronix-hex",
  mark: "%",
  head: 15,
  marks: [PERCENT],
  isMark: (character) => character === PERCENT,
  beginsRecord: () => true,
  statedEnd(bytes, at) {
    const length = bytes[at] === PERCENT ? pairAt(bytes, at + 1) : -1;
    let end = at + 1;
    while (end <= at + length && end < bytes.length && lineEndAt(bytes, end) === 0) end++;
    return end;
  },
  read: readRecord,
  withoutMark,
};

function readRecord(bytes: Uint8Array, record: Stretch, cut: boolean): TektronixRecord | DamagedRecord {
  const text = trimmedEnd(bytes, { start: record.start + 1, end: record.end });
  const { start } = text;
  const got = text.end - start;
  const length = got >= 2 ? pairAt(bytes, start) : -1;
  const wrong = strangerIn(bytes, { start, end: Math.min(text.end, length < 0 ? start + 2 : start + length) });
  if (wrong !== undefined) return damaged({ kind: "digit-wrong", at: wrong });
  if (length < 0 || got < length) {
    const expected = length < 0 ? undefined : length;
    if (cut) return damaged({ kind: "record-cut", expected, got });
    return length < 0 && got >= 2
      ? damaged({ kind: "digit-wrong", at: isDigit(bytes[start] as number) ? start + 1 : start })
      : damaged({ kind: "length-wrong", expected, got, countsWords: false });
  }
  const end = start + length;
  const runsOn = (values[bytes[end] ?? 0] as number) >= 0 && bytes[end] !== PERCENT && end < record.end;
  if (runsOn || length < FIELDS) {
    const expected = Math.max(length, FIELDS);
    return damaged({ kind: "length-wrong", expected, got: runsOn ? got : length, countsWords: false });
  }
  const stated = pairAt(bytes, start + 3);
  if (stated < 0) return damaged({ kind: "digit-wrong", at: start + 3 });
  const computed = sumOf(bytes, start, end, false);
  const small = stated !== computed && stated === sumOf(bytes, start, end, true);
  if (stated !== computed && !small) return damaged({ kind: "checksum-wrong", stated, computed });
  return readFields(bytes, start, end, small);
}

/** The record whose characters from `start` to before `end` hold together. */
function readFields(bytes: Uint8Array, start: number, end: number, small: boolean): TektronixRecord | DamagedRecord {
  const type = values[bytes[start + 2] as number] as number;
  const isData = type === tektronixTypes.data;
  const isEnd = type === tektronixTypes.end;
  const whole = { kind: "record", type, isData, isEnd, end, small } as const;
  if (type === tektronixTypes.symbols) return { ...whole, count: 0, data: end, address: 0 };
  if (!isData && !isEnd)
    return damaged({ kind: "type-unknown", type: String.fromCharCode(bytes[start + 2] as number) });
  const first = start + FIELDS;
  for (let at = first; at < end; at++) {
    if (!isDigit(bytes[at] as number)) return damaged({ kind: "digit-wrong", at });
  }
  const digits = first < end ? Number.parseInt(String.fromCharCode(bytes[first] as number), 16) || 16 : 0;
  const data = first + 1 + digits;
  const rest = end - data;
  if (first >= end || rest < 0) {
    const expected = FIELDS + 1 + digits;
    return damaged({ kind: "length-wrong", expected, got: end - start, countsWords: false });
  }
  let address = 0;
  for (let at = first + 1; at < data; at++) {
    address = 16 * address + Number.parseInt(String.fromCharCode(bytes[at] as number), 16);
  }
  if (rest % 2 === 1) return damaged({ kind: "digits-odd", expected: end - start + 1, got: end - start });
  const count = rest / 2;
  if (isEnd && count > 0) return damaged({ kind: "control-length-wrong", type: "8", expected: 0, got: count });
  if (address + count > MEMORY_END || address >= MEMORY_END) {
    return damaged({ kind: "address-overflow", address, length: count, end: MEMORY_END });
  }
  return { ...whole, count, data, address };
}

/** The sum of all characters but those of the checksum. `nibbles`: small letters count as digits. */
function sumOf(bytes: Uint8Array, start: number, end: number, nibbles: boolean): number {
  let sum = 0;
  for (let at = start; at < end; at++) {
    const value = values[bytes[at] as number] as number;
    const digit = nibbles && value >= 40 && value < 46 ? value - 30 : value;
    if (at < start + 3 || at >= start + FIELDS) sum += digit;
  }
  return sum & 0xff;
}

/** The place of the first character that cannot stand in a record. */
function strangerIn(bytes: Uint8Array, { start, end }: Stretch): number | undefined {
  for (let at = start; at < end; at++) if ((values[bytes[at] as number] as number) < 0) return at;
  return undefined;
}

/** A line of as many characters as it says, without its mark or with another one. */
function withoutMark(bytes: Uint8Array, text: Stretch): Stretch | undefined {
  for (const start of [text.start, text.start + 1]) {
    const length = pairAt(bytes, start);
    const all = strangerIn(bytes, { start, end: text.end }) === undefined;
    if (all && length >= FIELDS + 2 && start + length === text.end) return { start, end: text.end };
  }
  return undefined;
}

function damaged(damage: Damage): DamagedRecord {
  return { kind: "damaged", damage };
}
