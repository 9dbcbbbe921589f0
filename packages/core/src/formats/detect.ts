import { countDigits } from "./damage.js";
import type { FormatName } from "./decoded.js";
import { binaryFormat } from "./detect-binary.js";
import { lookAtTiTxt } from "./detect-ti-txt.js";
import { hexGrammar } from "./intel-hex-record.js";
import { endOfStretch, type RecordGrammar, type WholeRecord } from "./record-grammar.js";
import { sRecordGrammar } from "./s-record-grammar.js";
import { PERCENT, tektronixGrammar } from "./tektronix-hex-record.js";
import { isText, LONGEST_LINE, lineEndAt, startOfText, trimmed } from "./text.js";

/** Which format bytes look like, and what speaks for it. */
export interface Detection {
  readonly format: FormatName;
  /** Whole records, and lines that begin like one and are none. None of either in a raw file. */
  readonly records: number;
  readonly damaged: number;
  /** The share of the text looked at that these lines make up, 0 to 1. */
  readonly share: number;
  /** How many bytes were looked at, from the start of the file. */
  readonly lookedAt: number;
}

/** Enough for over a hundred of the longest records, little enough to cost nothing. */
const LOOKED_AT = 64 * 1024;

/** Whole records after which nothing more has to be seen, when they are most of the text. */
const ENOUGH = 40;

/** Digits from which on a damaged record counts as one. */
const RECORD_LIKE = 8;

/** The share of the text that records have to make up: a long remark may stand before them, a page may quote one. */
const LEAST_SHARE = 0.1;

/** The same when no record is whole. */
const LEAST_DAMAGED_SHARE = 0.5;

/** The share of bytes that must be text: a part of a text file may have been overwritten. */
const LEAST_TEXT = 0.8;

/**
 * Which format `bytes` look like, by their content alone. That a file begins with the mark of a record says nothing:
 * a text format needs a whole record in what is text for the most part, or to consist of damaged ones.
 */
export function detectFormat(bytes: Uint8Array): Detection {
  const head = bytes.subarray(0, LOOKED_AT);
  const other = (format: FormatName): Detection => ({
    format,
    records: 0,
    damaged: 0,
    share: 0,
    lookedAt: head.length,
  });
  const binary = binaryFormat(bytes);
  if (binary && binary !== "dfu") return other(binary);
  const raw = other(binary ?? "raw");
  if (!isMostlyText(head)) return raw;
  const whole = head.length === bytes.length;
  const tiTxt = lookAtTiTxt(head, whole);
  if (tiTxt) {
    const { sections, lines, damaged, lookedAt } = tiTxt;
    const records = sections + lines;
    return { format: "ti-txt", records, damaged, share: records / (records + damaged), lookedAt };
  }
  const [best] = grammarsFor(head)
    .filter(({ marks }) => marks.some((mark) => head.includes(mark)))
    .map((grammar) => look(head, grammar, whole))
    .filter(({ records, share }) => share >= (records > 0 ? LEAST_SHARE : LEAST_DAMAGED_SHARE))
    .sort((a, b) => b.records - a.records || b.damaged - a.damaged || b.share - a.share);
  return best ?? raw;
}

/** The formats that the text of a file may be in. One whose mark is usual in text is looked for at its start only. */
function grammarsFor(head: Uint8Array): readonly RecordGrammar<WholeRecord>[] {
  const { start } = trimmed(head, { start: startOfText(head), end: head.length });
  return head[start] === PERCENT ? [tektronixGrammar] : [hexGrammar, sRecordGrammar];
}

function look(head: Uint8Array, grammar: RecordGrammar<WholeRecord>, whole: boolean): Detection {
  let records = 0;
  let damaged = 0;
  let ofRecords = 0;
  let ofText = 0;
  let fresh = true; // at the start of a line
  let at = startOfText(head);
  while (at < head.length && !(records >= ENOUGH && ofRecords > ofText / 2)) {
    const ending = lineEndAt(head, at);
    const end = ending > 0 ? at + ending : endOfStretch(grammar, head, at);
    const last = end === head.length && !whole; // cut by this look, not in the file
    if (ending === 0 && !last) {
      const text = trimmed(head, { start: at, end });
      const begins = grammar.isMark(head[at]) && grammar.beginsRecord(head, at);
      const record = begins && grammar.read(head, { start: at, end }, end === head.length);
      const isRecord = record && record.kind === "record";
      const isDamaged = begins && !isRecord && fresh && isLikeRecord(head, at, end);
      if (isRecord) records++;
      if (isDamaged) damaged++;
      if (isRecord || isDamaged) ofRecords += text.end - text.start;
      ofText += text.end - text.start;
    }
    fresh = ending > 0;
    at = end;
  }
  const share = ofText === 0 ? 0 : ofRecords / ofText;
  return { format: grammar.format, records, damaged, share, lookedAt: at };
}

function isLikeRecord(head: Uint8Array, start: number, end: number): boolean {
  return end - start <= LONGEST_LINE && countDigits(head, { start: start + 1, end }) >= RECORD_LIKE;
}

/** Bytes of a file that settle whether it is text. */
const TEXT_LOOKED_AT = 16 * 1024;

/** Whether most bytes are text or line ends. Zeros and 1A count neither way at both ends: transfers pad with them. */
function isMostlyText(head: Uint8Array): boolean {
  const whole = trimmed(head, { start: 0, end: head.length });
  const start = whole.start;
  const end = Math.min(whole.end, start + TEXT_LOOKED_AT);
  const most = end - start - LEAST_TEXT * (end - start);
  let other = 0;
  for (let i = start; i < end; i++) {
    const byte = head[i] as number;
    if ((isText(byte) && byte < 0x80) || lineEndAt(head, i) > 0) continue;
    if (++other > most) return false; // most files are no text, and show it soon
  }
  return other < end - start;
}
