import { type ImageBuilder, MARK_EVERY } from "../image/builder.js";
import { pairs } from "./digits.js";
import { CAPITAL_S } from "./s-record-grammar.js";
import { CR, type Cursor, LF } from "./text.js";

/**
 * Reads data records of one `type` (1, 2 or 3) that need no second look, and leaves `cursor` before anything else.
 * How many there were comes back.
 */
export function readPlainSRecords(bytes: Uint8Array, cursor: Cursor, type: number, builder: ImageBuilder): number {
  const target = builder.bytes;
  const input = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const output = new DataView(target.buffer);
  const table = pairs; // some bundlers make a look-up of every imported name
  const mark = CAPITAL_S + 256 * (0x30 + type);
  const width = type + 1;
  const head = 4 + 2 * width; // characters before the data
  const addressEnd = 256 ** width;
  let { at, line, lineStart } = cursor;
  // Records that continue each other are handed to the builder together.
  let run = { address: 0, from: builder.used, position: 0, line };
  let used = builder.used;
  let next = -1;
  let markAt = 0;
  let records = 0;
  const size = bytes.length;
  while (at + head + 2 <= size && input.getUint16(at, true) === mark) {
    const counted = table[input.getUint16(at + 2, true)] as number;
    const count = counted - width - 1;
    const end = at + 4 + 2 * counted;
    if (count <= 0 || end > size) break;
    const high = table[input.getUint16(at + 4, true)] as number;
    const low = table[input.getUint16(at + 6, true)] as number;
    const third = width > 2 ? (table[input.getUint16(at + 8, true)] as number) : 0;
    const fourth = width > 3 ? (table[input.getUint16(at + 10, true)] as number) : 0;
    let sum = counted + high + low + third + fourth;
    let all = high | low | third | fourth; // negative as soon as one pair is no pair of digits
    let from = at + head;
    let to = used;
    const stop = used + count;
    for (; to + 4 <= stop; to += 4, from += 8) {
      const first = input.getInt32(from, true);
      const second = input.getInt32(from + 4, true);
      const a = table[first & 0xffff] as number;
      const b = table[first >>> 16] as number;
      const c = table[second & 0xffff] as number;
      const d = table[second >>> 16] as number;
      all |= a | b | c | d;
      sum += a + b + c + d;
      output.setInt32(to, a | (b << 8) | (c << 16) | (d << 24), true);
    }
    for (; to < stop; to++, from += 2) {
      const byte = table[input.getUint16(from, true)] as number;
      all |= byte;
      sum += byte;
      target[to] = byte;
    }
    const checksum = table[input.getUint16(from, true)] as number;
    if ((all | checksum) < 0 || ((sum + checksum) & 0xff) !== 0xff) break;
    const after = bytes[end];
    if (after !== LF && after !== CR && end < size) break;
    let address = 256 * high + low;
    if (width > 2) address = 256 * address + third;
    if (width > 3) address = 256 * address + fourth;
    if (address + count > addressEnd) break;
    if (address !== next || used >= markAt) {
      builder.commit(run.address, used - run.from, run.position, run.line);
      run = { address, from: used, position: at + head, line };
      markAt = used + MARK_EVERY;
    }
    used = stop;
    next = address + count;
    records++;
    at = end;
    if (end === size) break;
    at += after === CR && bytes[end + 1] === LF ? 2 : 1;
    lineStart = at;
    line++;
  }
  builder.commit(run.address, used - run.from, run.position, run.line);
  cursor.at = at;
  cursor.line = line;
  cursor.lineStart = lineStart;
  return records;
}
