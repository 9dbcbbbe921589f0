import type { FormatName } from "./decoded.js";
import { hexGrammar } from "./intel-hex-record.js";
import { endOfStretch, type RecordGrammar, type WholeRecord } from "./record-grammar.js";
import { sRecordGrammar } from "./s-record-grammar.js";
import { lineEndAt, startOfText } from "./text.js";

/** Which format bytes look like, and what speaks for it. */
export interface Detection {
  readonly format: FormatName;
  /** Whole records, and marks that begin something else, in what was looked at. */
  readonly records: number;
  readonly damaged: number;
}

/** Bytes looked at: enough for dozens of the longest records, little enough to cost nothing. */
const lookedAt = 64 * 1024;

/** Digits that a damaged record must still have to count as one. */
const recordLike = 8;

/**
 * Which format `bytes` look like, by their content alone. A text format needs a whole record, or more damaged ones
 * than a raw memory would hold by chance, in bytes that are text for the most part.
 */
export function detectFormat(bytes: Uint8Array): Detection {
  const head = bytes.subarray(0, lookedAt);
  const cut = bytes.length > lookedAt;
  const found = [look(head, hexGrammar, cut), look(head, sRecordGrammar, cut)].filter(
    ({ records, damaged }) => records > 0 || damaged > 0,
  );
  const best = found.sort((a, b) => b.records - a.records || b.damaged - a.damaged)[0];
  if (!best || !isMostlyText(head)) return { format: "raw", records: 0, damaged: 0 };
  return best;
}

function look(head: Uint8Array, grammar: RecordGrammar<WholeRecord>, cut: boolean): Detection {
  let records = 0;
  let damaged = 0;
  let at = startOfText(head);
  let freshLine = true;
  while (at < head.length) {
    const ending = lineEndAt(head, at);
    if (ending > 0) {
      at += ending;
      freshLine = true;
      continue;
    }
    const end = endOfStretch(grammar, head, at);
    if (grammar.isMark(head[at]) && grammar.beginsRecord(head, at) && !(cut && end === head.length)) {
      if (grammar.read(head, { start: at, end }, end === head.length).kind === "record") records++;
      else if (freshLine && digitsFrom(head, at + 1, end) >= recordLike) damaged++;
    }
    freshLine = false;
    at = end;
  }
  return { format: grammar.format, records, damaged };
}

function digitsFrom(bytes: Uint8Array, start: number, end: number): number {
  let at = start;
  while (at < end && /[0-9A-Fa-f]/.test(String.fromCharCode(bytes[at] as number))) at++;
  return at - start;
}

/** At least 9 bytes of 10 are printable or line ends; the zeros and 1A that pad a transfer do not count. */
function isMostlyText(bytes: Uint8Array): boolean {
  let text = 0;
  let other = 0;
  for (const byte of bytes) {
    if ((byte >= 0x20 && byte < 0x7f) || byte === 0x0a || byte === 0x0d || byte === 0x09) text++;
    else if (byte !== 0 && byte !== 0x1a) other++;
  }
  return text > 0 && text >= 9 * other;
}
