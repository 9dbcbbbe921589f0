import type { Trace } from "../image/builder.js";
import type { Damage } from "./damage.js";
import type { Origin, RecordFormat } from "./decoded.js";
import { lineEndAt, type Stretch } from "./text.js";

/** A record that is whole, as far as every text format has it. */
export interface WholeRecord {
  readonly kind: "record";
  readonly type: number;
  /** Whether it carries bytes of the memory, and whether it ends the file. */
  readonly isData: boolean;
  readonly isEnd: boolean;
  /** Its data bytes, where their digits start in the file, and where the record ends. */
  readonly count: number;
  readonly data: number;
  readonly end: number;
}

/** A record that cannot be used, and why. */
export interface DamagedRecord {
  readonly kind: "damaged";
  readonly damage: Damage;
}

/** How a format of lines and digits is written. The records of each begin with a mark that is no digit. */
export interface RecordGrammar<Whole extends WholeRecord> {
  readonly format: RecordFormat;
  /** The mark, as it is told to people. */
  readonly mark: string;
  /** Characters from the mark to the end of the widest address. */
  readonly head: number;
  /** The characters that a mark may begin with. */
  readonly marks: readonly number[];
  /** Whether a character is one of them. */
  isMark(character: number | undefined): boolean;
  /** Whether a record may begin at `at`, where a mark is. */
  beginsRecord(bytes: Uint8Array, at: number): boolean;
  /** Where the record at `at` ends by its own length, in a format whose records may hold marks; inside its line. */
  statedEnd?(bytes: Uint8Array, at: number): number;
  /**
   * The record that begins with the mark at `record.start`. `record` reaches to the next mark or line end; `cut`: the
   * file ends there, without a line end.
   */
  read(bytes: Uint8Array, record: Stretch, cut: boolean): Whole | DamagedRecord;
  /** The part of `text` that reads like a record whose mark is missing or damaged. */
  withoutMark(bytes: Uint8Array, text: Stretch): Stretch | undefined;
}

/** Where the text from `at` on, which may begin with a mark itself, gives way to the next mark or line end. */
export function endOfStretch(grammar: RecordGrammar<WholeRecord>, bytes: Uint8Array, at: number): number {
  let end = grammar.statedEnd?.(bytes, at) ?? at + 1;
  while (end < bytes.length && !grammar.isMark(bytes[end]) && lineEndAt(bytes, end) === 0) end++;
  return end;
}

/**
 * The record that a byte was read from: the one at the trace's position, or one of those that follow it. Data are
 * written in the order of the file, so counting them leads there.
 */
export function originInRecords(
  grammar: RecordGrammar<WholeRecord>,
  bytes: Uint8Array,
  { position, line, distance }: Trace,
): Origin {
  let at = position;
  while (at > 0 && !grammar.isMark(bytes[at])) at--;
  const origin = { offset: at, line };
  let rest = -1; // known when the first record is
  while (at < bytes.length) {
    const ending = lineEndAt(bytes, at);
    const end = ending > 0 ? at + ending : endOfStretch(grammar, bytes, at);
    if (ending > 0) origin.line++;
    else if (grammar.isMark(bytes[at]) && grammar.beginsRecord(bytes, at)) {
      const record = grammar.read(bytes, { start: at, end }, end === bytes.length);
      if (record.kind === "record" && record.isData) {
        if (rest < 0) rest = distance + (position - record.data) / 2;
        if (rest < record.count) return { ...origin, offset: at };
        rest -= record.count;
      }
    }
    at = end;
  }
  return origin;
}
