import { type Finding, finding } from "../findings/catalogue.js";
import { ImageBuilder } from "../image/builder.js";
import { builtFindings } from "./closing.js";
import { countDigits, type Damage, damageFinding } from "./damage.js";
import type { Decoded } from "./decoded.js";
import { isForeignRecord } from "./foreign-record.js";
import { endOfStretch, originInRecords, type RecordGrammar, type WholeRecord } from "./record-grammar.js";
import { Remarks } from "./remarks.js";
import { StartKeeper } from "./start.js";
import {
  type Cursor,
  endOfLine,
  holdsZero,
  LONGEST_LINE,
  lineEndAt,
  readsAsText,
  type Stretch,
  startOfText,
  trimmed,
} from "./text.js";

/** Where a record stands in its file. */
export interface RecordPlace {
  readonly line: number;
  readonly offset: number;
}

/** Damaged records on one line after which the rest of it is not looked into. */
const DAMAGED_IN_LINE = 100;

/** Digits from which on something after a mark is a record that was damaged, even on a line of text. */
const RECORD_LIKE = 8;

/**
 * Walks through a file of records: line ends, records, text around them, and what follows the end. What the records
 * of one format mean is for the class that is made from this one.
 */
export abstract class RecordReader<Whole extends WholeRecord> {
  protected readonly remarks = new Remarks();
  protected readonly start: StartKeeper;
  protected readonly builder: ImageBuilder;
  protected readonly cursor: Cursor;
  protected ended = false;
  protected header: string | undefined;
  #textLine = 0; // the last line that holds text
  #damagedLine = 0; // the last line that holds a damaged record, and how many it holds
  #damagedInLine = 0;
  readonly #after = { line: 0, offset: 0, records: 0, bytes: 0 };

  constructor(
    protected readonly bytes: Uint8Array,
    protected readonly grammar: RecordGrammar<Whole>,
  ) {
    this.start = new StartKeeper(grammar.format, this.remarks);
    // A byte takes two characters, so this is room for all of them.
    this.builder = new ImageBuilder(bytes.length >>> 1);
    const start = startOfText(bytes);
    this.cursor = { at: start, line: 1, lineStart: start };
  }

  /** Reads the plain data records that the cursor stands before, and stops before anything else. */
  protected abstract readPlain(): void;
  /** Takes a whole record that does not end the file, or that does. */
  protected abstract take(record: Whole, place: RecordPlace): void;
  /** Is told that the record with these digits was left out. */
  protected abstract leftOut(digits: Stretch, place: RecordPlace): void;
  /** What the end of the file leaves to say of its records, but that the end record is missing. */
  protected abstract closing(): readonly Finding[];
  /** What to say when the end record is missing, in place of the common finding. */
  protected missingEnd(): Finding | undefined {
    return undefined;
  }
  /** The records that can end a file, as they are told to people. */
  protected abstract readonly endRecords: string;

  read(): Decoded {
    const { bytes, cursor, grammar, remarks } = this;
    while (cursor.at < bytes.length) {
      if (!this.ended) this.readPlain();
      if (cursor.at < bytes.length) this.#readStretch();
    }
    const closing = this.closing();
    const built = this.builder.build();
    const { start } = this.start;
    return {
      format: grammar.format,
      image: built.image,
      findings: [
        ...(startOfText(bytes) > 0 ? [finding("file/byte-order-mark", {}, { line: 1, offset: 0 })] : []),
        ...remarks.findings(),
        ...closing,
        ...this.#endFindings(built.image.segments.length > 0),
        ...builtFindings(built, (trace) => originInRecords(grammar, bytes, trace)),
      ],
      ...(start && { start }),
      ...(this.header && { header: this.header }),
      originOf: (address) => {
        const trace = built.traceOf(address);
        return trace && originInRecords(grammar, bytes, trace);
      },
    };
  }

  /** Reads one line end, or a record with a second look, or the text up to the next mark or line end. */
  #readStretch(): void {
    const { bytes, cursor, grammar } = this;
    const start = cursor.at;
    const ending = lineEndAt(bytes, start);
    if (ending > 0) {
      cursor.at = cursor.lineStart = start + ending;
      cursor.line++;
      return;
    }
    const end = endOfStretch(grammar, bytes, start);
    cursor.at = end;
    if (!grammar.isMark(bytes[start]) || !grammar.beginsRecord(bytes, start)) {
      this.#readText({ start, end }, "text-outside-records");
    } else if (this.ended) this.#readAfterEnd({ start, end });
    else this.#readRecord({ start, end });
  }

  #readRecord({ start, end }: Stretch): void {
    const { bytes, grammar } = this;
    const place = { line: this.cursor.line, offset: start };
    const reading = grammar.read(bytes, { start, end }, end === bytes.length);
    if (reading.kind === "record") {
      this.take(reading, place);
      const { format } = grammar;
      if (grammar.isMark(bytes[end])) this.remarks.repeated(`${format}/records-share-line`, place, {});
      this.#readText({ start: reading.end, end }, "text-after-record");
      return;
    }
    const digits = { start: start + 1, end };
    // "; built at 12:30" is text with a colon in it and no damaged record.
    if (this.#textLine === place.line && countDigits(bytes, digits) < RECORD_LIKE) return;
    this.#damagedInLine = this.#damagedLine === place.line ? this.#damagedInLine + 1 : 1;
    this.#damagedLine = place.line;
    if (this.#damagedInLine > DAMAGED_IN_LINE) {
      this.cursor.at = endOfLine(bytes, end);
      this.#tooLong({ start, end: this.cursor.at });
    } else if (end - start > LONGEST_LINE) this.#tooLong({ start, end });
    else {
      this.#damage(reading.damage, place);
      this.leftOut(digits, place);
    }
  }

  #readText(stretch: Stretch, kind: "text-outside-records" | "text-after-record"): void {
    const { bytes, remarks, grammar } = this;
    const { line } = this.cursor;
    const text = trimmed(bytes, stretch);
    const around = [
      { start: stretch.start, end: text.start },
      { start: text.end, end: stretch.end },
    ];
    if (around.some((part) => holdsZero(bytes, part))) {
      remarks.repeated("file/zero-padding", { line, offset: stretch.start }, {});
    }
    if (text.start === text.end) return;
    const place = { line, offset: text.start };
    if (isForeignRecord(grammar.format, bytes, text)) {
      remarks.repeated(`${grammar.format}/records-of-other-format`, place, {});
      this.#textLine = line;
      return;
    }
    if (this.ended) {
      remarks.repeated(`${grammar.format}/text-after-end`, place, {});
      return;
    }
    if (text.end - text.start > LONGEST_LINE) {
      this.#tooLong(text);
      return;
    }
    const digits = grammar.withoutMark(bytes, text);
    if (digits) {
      this.#damage({ kind: "mark-missing", mark: grammar.mark }, { line, offset: digits.start });
      this.leftOut(digits, place);
    } else if (!readsAsText(bytes, text)) {
      remarks.repeated(`${grammar.format}/bytes-outside-records`, place, {});
    } else if (this.#textLine !== line) {
      remarks.repeated(`${grammar.format}/${kind}`, place, {});
    }
    this.#textLine = line;
  }

  #damage(damage: Damage, { line, offset }: RecordPlace): void {
    const { bytes, grammar, cursor } = this;
    const place = { line, offset, lineStart: cursor.lineStart, shown: grammar.head };
    this.remarks.damage(line, () => damageFinding(grammar.format, damage, bytes, place));
  }

  #tooLong({ start, end }: Stretch): void {
    const { line } = this.cursor;
    const facts = { line, length: end - start, limit: LONGEST_LINE };
    this.remarks.damage(line, () => finding("file/line-too-long", facts, { line, offset: start }));
  }

  #readAfterEnd({ start, end }: Stretch): void {
    const { bytes, grammar } = this;
    const place = { line: this.cursor.line, offset: start };
    const reading = grammar.read(bytes, { start, end }, false);
    const counts =
      reading.kind === "record" ? !reading.isEnd : countDigits(bytes, { start: start + 1, end }) >= RECORD_LIKE;
    if (counts) {
      if (this.#after.records++ === 0) Object.assign(this.#after, place);
      if (reading.kind === "record" && reading.isData) this.#after.bytes += reading.count;
    } else this.remarks.repeated(`${grammar.format}/text-after-end`, place, {});
    if (reading.kind === "record") this.#readText({ start: reading.end, end }, "text-after-record");
  }

  #endFindings(holdsData: boolean): Finding[] {
    const { format } = this.grammar;
    const { line, offset, records, bytes } = this.#after;
    const { at, line: cursorLine, lineStart } = this.cursor;
    const findings: Finding[] = [];
    if (records > 0) findings.push(finding(`${format}/records-after-end`, { line, records, bytes }, { line, offset }));
    if (!this.ended && at > startOfText(this.bytes)) {
      const last = at === lineStart ? cursorLine - 1 : cursorLine;
      const place = { line: last, offset: this.bytes.length };
      const missing = finding(`${format}/missing-end`, { line: last, records: this.endRecords }, place);
      findings.push(this.missingEnd() ?? missing);
    }
    if (!holdsData) {
      const whole = this.ended && this.remarks.damaged === 0;
      findings.push(finding(whole ? "file/no-data" : "file/empty", { format }));
    }
    return findings;
  }
}
