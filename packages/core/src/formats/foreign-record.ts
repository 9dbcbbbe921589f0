import type { RecordFormat } from "./decoded.js";
import { hexGrammar } from "./intel-hex-record.js";
import type { RecordGrammar, WholeRecord } from "./record-grammar.js";
import { sRecordGrammar } from "./s-record-grammar.js";
import { tektronixGrammar } from "./tektronix-hex-record.js";
import type { Stretch } from "./text.js";

const grammars: readonly RecordGrammar<WholeRecord>[] = [hexGrammar, sRecordGrammar, tektronixGrammar];

/** Whether `text`, which is no record of `format`, is a whole data record of another format. */
export function isForeignRecord(format: RecordFormat, bytes: Uint8Array, text: Stretch): boolean {
  const other = grammars.find((grammar) => grammar.format !== format && grammar.isMark(bytes[text.start]));
  if (!other?.beginsRecord(bytes, text.start)) return false;
  const record = other.read(bytes, text, false);
  return record.kind === "record" && record.isData && record.count > 0;
}
