import { latin1 } from "../bytes/text.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Decoded } from "./decoded.js";
import { pairAt } from "./digits.js";
import { readPlainRecords } from "./plain-records.js";
import { type RecordPlace, RecordReader } from "./record-reader.js";
import { sData } from "./record-shape.js";
import { carriesData, SMALL_S, type SRecord, sRecordGrammar, typeAt } from "./s-record-grammar.js";
import type { Stretch } from "./text.js";

/**
 * The image that a file of Motorola S-records describes. Source: M68000 Family Programmer's Reference Manual, Appendix
 * C. A damaged record is told of and left out, and reading goes on after it. The checksum does not cover the type of
 * a record: whatever betrays a changed one is told.
 */
export function decodeSRecord(bytes: Uint8Array): Decoded {
  return new SRecordReader(bytes, sRecordGrammar).read();
}

/** What a count record states, and where. */
interface Count extends RecordPlace {
  readonly stated: number;
  readonly type: number;
  /** How many data records came before it. */
  readonly dataLines: number;
}

class SRecordReader extends RecordReader<SRecord> {
  protected readonly endRecords = "S7, S8 or S9";
  /** Lines that are data records, damaged or not: what a count record counts. */
  #dataLines = 0;
  #type = 1; // of the last data record
  readonly #types = new Set<number>();
  #widthChange: { readonly place: RecordPlace; narrowed: boolean } | undefined;
  readonly #counts: Count[] = [];
  #end: (RecordPlace & { readonly type: number }) | undefined;

  protected readPlain(): void {
    if (!this.#types.has(this.#type)) return; // the first of a type gets its second look
    this.#dataLines += readPlainRecords(this.bytes, this.cursor, sData((this.#type + 1) as 2 | 3 | 4), 0, this.builder);
  }

  protected take(record: SRecord, place: RecordPlace): void {
    const { type, address, overlong } = record;
    if (this.bytes[place.offset] === SMALL_S) this.remarks.repeated("s-record/lower-case-mark", place, {});
    if (overlong) this.remarks.repeated("s-record/digits-after-checksum", place, {});
    if (record.isData) this.#write(record, place);
    else if (type === 0) this.#takeHeader(record, place);
    else if (record.isEnd) {
      this.ended = true;
      this.#end = { ...place, type };
      this.start.offer({ kind: "termination", address }, place);
    } else this.#counts.push({ ...place, stated: address, type, dataLines: this.#dataLines });
  }

  protected leftOut(digits: Stretch): void {
    const type = typeAt(this.bytes, digits.start);
    if (type === undefined || carriesData(type)) this.#dataLines++;
  }

  protected closing(): readonly Finding[] {
    return [...this.#countFindings(), ...this.#widthFindings()];
  }

  #write(record: SRecord, place: RecordPlace): void {
    const { bytes, builder } = this;
    const { type, count, data, address } = record;
    this.#dataLines++;
    if (this.#types.size > 0 && type !== this.#type) {
      this.#widthChange ??= { place, narrowed: false };
      if (type < this.#type) this.#widthChange.narrowed = true;
    }
    this.#type = type;
    this.#types.add(type);
    if (count === 0) this.remarks.repeated("s-record/record-empty", place, {});
    for (let i = 0; i < count; i++) builder.bytes[builder.used + i] = pairAt(bytes, data + 2 * i);
    builder.commit(address, count, data, place.line);
  }

  #takeHeader({ address, count, data }: SRecord, place: RecordPlace): void {
    if (address !== 0 || this.header !== undefined || this.#dataLines > 0) {
      this.remarks.repeated("s-record/header-misplaced", place, {});
    }
    this.header ??= latin1(Uint8Array.from({ length: count }, (_, i) => pairAt(this.bytes, data + 2 * i)));
  }

  /** A count that is right and comes after all data shows that the file was not cut short. */
  protected override missingEnd(): Finding | undefined {
    const last = this.#counts.at(-1);
    if (!last || last.dataLines !== this.#dataLines || last.stated !== this.#dataLines) return undefined;
    const { line, offset, stated } = last;
    return finding("s-record/end-left-out", { line, counted: stated }, { line, offset });
  }

  /** One count of all data records, or one for each of several blocks. */
  #countFindings(): Finding[] {
    const last = this.#counts.at(-1);
    if (!last) return [];
    const { line, offset, stated, type } = last;
    const counted = this.#dataLines;
    const sum = this.#counts.reduce((total, count) => total + count.stated, 0);
    if (stated === counted || sum === counted) return [];
    const truncated = type === 5 && stated === counted % 0x10000;
    const code = truncated ? "s-record/count-truncated" : "s-record/count-mismatch";
    return [finding(code, { line, stated, counted }, { line, offset })];
  }

  #widthFindings(): Finding[] {
    if (this.#types.size === 0) return [];
    const widest = Math.max(...this.#types);
    const end = this.#end;
    const mismatched = end !== undefined && end.type !== 10 - widest;
    const findings: Finding[] = [];
    if (this.#widthChange) {
      const { place, narrowed } = this.#widthChange;
      const types = [...this.#types].sort().map((type) => `S${type}`);
      const code = narrowed || mismatched ? "s-record/widths-doubtful" : "s-record/widths-mixed";
      findings.push(finding(code, { types: types.join(" and "), line: place.line }, place));
    } else if (mismatched) {
      const facts = { line: end.line, end: `S${end.type}`, data: `S${widest}` };
      findings.push(finding("s-record/end-mismatched", facts, { line: end.line, offset: end.offset }));
    }
    return findings;
  }
}
