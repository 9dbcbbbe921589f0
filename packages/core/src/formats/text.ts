/** Characters and lines of the text formats, by their place in the file: nothing is copied. */

export const LF = 0x0a;
export const CR = 0x0d;
const BYTE_ORDER_MARK = [0xef, 0xbb, 0xbf];

/** A line longer than this that is no record is not looked into. The longest record has 521 characters. */
export const LONGEST_LINE = 1024;

/** How many bytes the line end at `at` has: 0 when there is none. CR LF is one line end, so is either alone. */
export function lineEndAt(bytes: Uint8Array, at: number): 0 | 1 | 2 {
  if (bytes[at] === LF) return 1;
  if (bytes[at] !== CR) return 0;
  return bytes[at + 1] === LF ? 2 : 1;
}

/** Where the line that `at` is in ends: its line end, or the end of the file. */
export function endOfLine(bytes: Uint8Array, at: number): number {
  let end = at;
  while (end < bytes.length && bytes[end] !== LF && bytes[end] !== CR) end++;
  return end;
}

/** Where the text of a file starts: past a byte order mark, when there is one. */
export function startOfText(bytes: Uint8Array): number {
  return BYTE_ORDER_MARK.every((byte, i) => bytes[i] === byte) ? BYTE_ORDER_MARK.length : 0;
}

/** Whether a character stands for nothing at the ends of a line: blank, tab, NUL, or 1A, the old end of a text. */
function isFiller(character: number | undefined): boolean {
  return character === 0x20 || character === 0x09 || character === 0x00 || character === 0x1a;
}

/** How far a reader has come in its file. */
export interface Cursor {
  at: number;
  /** 1-based. */
  line: number;
  lineStart: number;
}

/** A part of a line: from `start` to before `end`. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

/** `stretch` without the fillers at both its ends. */
export function trimmed(bytes: Uint8Array, { start, end }: Stretch): Stretch {
  let first = start;
  while (first < end && isFiller(bytes[first])) first++;
  return trimmedEnd(bytes, { start: first, end });
}

/** `stretch` without the fillers at its end. */
export function trimmedEnd(bytes: Uint8Array, { start, end }: Stretch): Stretch {
  let last = end;
  while (last > start && isFiller(bytes[last - 1])) last--;
  return { start, end: last };
}

/** Whether `stretch` holds a zero byte. */
export function holdsZero(bytes: Uint8Array, { start, end }: Stretch): boolean {
  for (let i = start; i < end; i++) if (bytes[i] === 0) return true;
  return false;
}

/** Whether a character can stand in a line of text: no control character but the tab. */
export function isText(character: number): boolean {
  return character === 0x09 || (character >= 0x20 && character !== 0x7f);
}

/** Whether all of `stretch` can be text. */
export function readsAsText(bytes: Uint8Array, { start, end }: Stretch): boolean {
  for (let i = start; i < end; i++) if (!isText(bytes[i] as number)) return false;
  return true;
}
