import { isDigit, pairAt } from "./digits.js";
import { endOfLine, LONGEST_LINE, lineEndAt, startOfText, trimmed } from "./text.js";

/** What lines of TI-TXT were seen at the start of a file. */
export interface TiTxtLook {
  readonly sections: number;
  readonly lines: number;
  readonly damaged: number;
  readonly lookedAt: number;
}

/** Lines after which nothing more has to be seen. */
const ENOUGH = 40;

const AT = 0x40;

/** The lines of `head` seen as TI-TXT, when its first line is an address; undefined otherwise. */
export function lookAtTiTxt(head: Uint8Array, whole: boolean): TiTxtLook | undefined {
  let sections = 0;
  let lines = 0;
  let damaged = 0;
  let at = startOfText(head);
  while (at < head.length && lines < ENOUGH) {
    const end = endOfLine(head, at);
    if (end === head.length && !whole) break; // cut by this look, not in the file
    const text = trimmed(head, { start: at, end });
    const length = text.end - text.start;
    if (head[text.start] === AT && length <= 9 && allDigits(head, text.start + 1, text.end)) sections++;
    else if (sections === 0 && length > 0) return undefined;
    else if (length === 1)
      break; // q
    else if (length > 1) {
      if (length <= LONGEST_LINE && arePairs(head, text.start, text.end)) lines++;
      else damaged++;
    }
    at = end + lineEndAt(head, end);
  }
  return sections === 0 || lines < damaged ? undefined : { sections, lines, damaged, lookedAt: at };
}

function allDigits(bytes: Uint8Array, start: number, end: number): boolean {
  for (let at = start; at < end; at++) if (!isDigit(bytes[at] as number)) return false;
  return end > start;
}

function arePairs(bytes: Uint8Array, start: number, end: number): boolean {
  for (let at = start; at < end; ) {
    const blank = bytes[at] === 0x20 || bytes[at] === 0x09;
    if (!blank && (pairAt(bytes, at) < 0 || at + 2 > end)) return false;
    at += blank ? 1 : 2;
  }
  return true;
}
