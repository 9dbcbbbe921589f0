/** Intel HEX read line by line with strings and regular expressions: slow, and plain to check against the text. */

export interface PlainReading {
  /** Every byte that the good records give, the first one where two do. */
  readonly memory: ReadonlyMap<number, number>;
  /** Lines with a record that cannot be used, each once. */
  readonly damagedLines: ReadonlySet<number>;
  /** Addresses that were given again: with the byte that they had, and with another one. */
  readonly again: { equal: number; conflicting: number };
  readonly ended: boolean;
}

/** Blank, tab, NUL and the old end-of-text mark stand for nothing at the ends of a line. */
const fillers = " \t\0\x1a";

export function withoutFillersAtEnd(text: string): string {
  let end = text.length;
  while (end > 0 && fillers.includes(text[end - 1] as string)) end--;
  return text.slice(0, end);
}

export function withoutFillers(text: string): string {
  let start = 0;
  while (start < text.length && fillers.includes(text[start] as string)) start++;
  return withoutFillersAtEnd(text.slice(start));
}

const controlLengths: Readonly<Record<number, number>> = { 1: 0, 2: 2, 3: 4, 4: 2, 5: 4 };
const bytesOf = (digits: string) => (digits.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16));
const sumOf = (digits: string) => bytesOf(digits).reduce((sum, byte) => sum + byte, 0) % 256;

/** Whether `digits` are a whole record, as far as its length and checksum say; text may follow it. */
function wholeRecord(after: string): string | undefined {
  const digits = /^[0-9A-Fa-f]*/.exec(after)?.[0] ?? "";
  if (digits.length < 10 || digits.length % 2 === 1) return undefined;
  const count = Number.parseInt(digits.slice(0, 2), 16);
  return digits.length === 10 + 2 * count && sumOf(digits) === 0 ? digits : undefined;
}

/** Whether a damaged record may have been a base address, and so what follows it has no place. */
function mayPlace(after: string): boolean {
  const text = withoutFillersAtEnd(after);
  if (text.length > 16) return false;
  const type = /^[0-9A-Fa-f]{2}$/.test(text.slice(6, 8)) ? Number.parseInt(text.slice(6, 8), 16) : -1;
  if (type === 2 || type === 4) return true;
  if (text.length < 13) return false;
  if (type > 5 || type < 0) return true;
  if (!/^[0-9A-Fa-f]{14}/.test(text) || /^[0-9A-Fa-f]{15}/.test(text)) return false;
  return [2, 4].some((other) => (sumOf(text.slice(0, 14)) - type + other + 256) % 256 === 0);
}

/** Whether a line without a mark reads like a record. */
function withoutMark(text: string): string | undefined {
  const digits = /^[^0-9A-Fa-f]{0,4}([0-9A-Fa-f]{10,})$/.exec(text)?.[1];
  if (!digits) return undefined;
  const fits = digits.length === 10 + 2 * Number.parseInt(digits.slice(0, 2), 16);
  const holds = digits.length % 2 === 0 && sumOf(digits) === 0;
  return fits || holds || digits === text ? digits : undefined;
}

export function readPlainly(text: string): PlainReading {
  const memory = new Map<number, number>();
  const damagedLines = new Set<number>();
  const again = { equal: 0, conflicting: 0 };
  let base = 0;
  let segmented = false;
  let placed = true;
  let ended = false;
  const write = (address: number, byte: number) => {
    const known = memory.get(address);
    if (known === undefined) memory.set(address, byte);
    else if (known === byte) again.equal++;
    else again.conflicting++;
  };
  const take = (digits: string) => {
    const [count = 0, high = 0, low = 0, type = 0, ...data] = bytesOf(digits);
    const offset = 256 * high + low;
    const value = 256 * (data[0] ?? 0) + (data[1] ?? 0);
    if (type === 0 && placed) {
      for (let i = 0; i < count; i++) {
        const address = segmented ? base + ((offset + i) % 0x10000) : (base + offset + i) % 2 ** 32;
        write(address, data[i] as number);
      }
    }
    if (type === 1) ended = true;
    if (type === 2 || type === 4) {
      base = type === 2 ? 16 * value : 65536 * value;
      segmented = type === 2;
      placed = true;
    }
  };
  for (const [index, line] of text.split(/\r\n|\r|\n/).entries()) {
    let hasText = false;
    for (const piece of line.split(/(?=:)/)) {
      if (ended) break;
      if (piece.startsWith(":")) {
        const digits = wholeRecord(piece.slice(1));
        const type = digits ? Number.parseInt(digits.slice(6, 8), 16) : -1;
        const length = digits && Number.parseInt(digits.slice(0, 2), 16);
        if (digits && (type === 0 || controlLengths[type] === length)) {
          take(digits);
          const rest = withoutFillers(piece.slice(1 + digits.length));
          const lost = withoutMark(rest);
          if (lost && !ended) {
            damagedLines.add(index + 1);
            if (mayPlace(lost)) placed = false;
          }
          if (rest !== "") hasText = true;
        } else if (!hasText || /^:[0-9A-Fa-f]{8}/.test(piece)) {
          damagedLines.add(index + 1);
          if (mayPlace(piece.slice(1))) placed = false;
        }
      } else {
        const rest = withoutFillers(piece);
        const lost = withoutMark(rest);
        if (lost) {
          damagedLines.add(index + 1);
          if (mayPlace(lost)) placed = false;
        }
        if (rest !== "") hasText = true;
      }
    }
  }
  return { memory, damagedLines, again, ended };
}
