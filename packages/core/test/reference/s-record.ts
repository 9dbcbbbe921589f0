import { type PlainReading, withoutFillers } from "./intel-hex.js";

/** S-records read line by line with strings and regular expressions: slow, and plain to check against the text. */

const addressLengths = [2, 2, 3, 4, 0, 2, 3, 4, 3, 2];
const bytesOf = (digits: string) => (digits.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16));
const sumOf = (bytes: readonly number[]) => bytes.reduce((sum, byte) => sum + byte, 0) % 256;

interface PlainRecord {
  readonly type: number;
  readonly address: number;
  readonly data: readonly number[];
  readonly rest: string;
}

/** The record that `piece` begins with, when it is whole. */
function wholeRecord(piece: string): PlainRecord | undefined {
  const type = Number(piece[1]);
  const width = addressLengths[type] as number;
  const digits = /^[0-9A-Fa-f]*/.exec(piece.slice(2))?.[0] ?? "";
  const counted = Number.parseInt(digits.slice(0, 2), 16);
  const needed = 2 + 2 * counted;
  if (type === 4 || digits.length < 2 || !(digits.length >= needed) || counted < width + 1) return undefined;
  const bytes = bytesOf(digits.slice(0, needed));
  if (sumOf(bytes) !== 255) return undefined;
  const address = bytes.slice(1, 1 + width).reduce((value, byte) => 256 * value + byte, 0);
  const data = bytes.slice(1 + width, -1);
  if (type >= 5 && data.length > 0) return undefined;
  if (type >= 1 && type <= 3 && address + data.length > 256 ** width) return undefined;
  return {
    type,
    address,
    data,
    rest: withoutFillers(piece.slice(2).replace(/^[0-9A-Fa-f]*/, "")),
  };
}

/** Whether a line without its S, or without its type, reads like a record. */
function withoutMark(text: string): boolean {
  const fits = [0, 1].some((start) => {
    const digits = text.slice(start + 1);
    return /^[0-9A-Fa-f]{8,}$/.test(digits) && digits.length === 2 + 2 * Number.parseInt(digits.slice(0, 2), 16);
  });
  return fits || /^[0-9A-Fa-f]{10,}$/.test(text);
}

export function readPlainly(text: string): PlainReading {
  const memory = new Map<number, number>();
  const damagedLines = new Set<number>();
  const again = { equal: 0, conflicting: 0 };
  let ended = false;
  for (const [index, line] of text.split(/\r\n|\r|\n/).entries()) {
    let hasText = false;
    for (const piece of line.split(/(?=[Ss])/)) {
      if (ended) break;
      let rest = withoutFillers(piece);
      if (/^[Ss][0-9]/.test(piece)) {
        const record = wholeRecord(piece);
        if (!record) {
          if (!hasText || /^[0-9A-Fa-f]{8}/.test(piece.slice(1))) damagedLines.add(index + 1);
          continue;
        }
        if (record.type >= 1 && record.type <= 3) {
          for (const [i, byte] of record.data.entries()) {
            const known = memory.get(record.address + i);
            if (known === undefined) memory.set(record.address + i, byte);
            else if (known === byte) again.equal++;
            else again.conflicting++;
          }
        }
        if (record.type >= 7) ended = true;
        rest = record.rest;
      }
      if (rest !== "" && !ended) {
        if (withoutMark(rest)) damagedLines.add(index + 1);
        hasText = true;
      }
    }
  }
  return { memory, damagedLines, again, ended };
}
