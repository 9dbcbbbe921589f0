import { type ImageBuilder, MARK_EVERY } from "../image/builder.js";
import { pairs } from "./digits.js";
import { COLON, HEX_HEAD } from "./intel-hex-record.js";
import { CR, type Cursor, LF } from "./text.js";

/**
 * Reads data records that need no second look, and leaves `cursor` before anything else: another type, a wrap,
 * damage, text. `base` is added to every offset.
 */
export function readPlainHex(bytes: Uint8Array, cursor: Cursor, base: number, builder: ImageBuilder): void {
  const target = builder.bytes;
  const input = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const output = new DataView(target.buffer);
  const table = pairs; // some bundlers make a look-up of every imported name
  let { at, line, lineStart } = cursor;
  // Records that continue each other are handed to the builder together: a call for each costs a fifth of the time.
  let run = { address: 0, from: builder.used, position: 0, line };
  let used = builder.used;
  let next = -1; // as an offset: addresses do not fit the small integers that are fast
  let markAt = 0;
  const size = bytes.length;
  while (at + 11 <= size && bytes[at] === COLON) {
    const head = input.getInt32(at + 1, true);
    const tail = input.getInt32(at + 5, true);
    const count = table[head & 0xffff] as number;
    const high = table[head >>> 16] as number;
    const low = table[tail & 0xffff] as number;
    if (table[tail >>> 16] !== 0 || (count | high | low) < 0) break;
    const offset = 256 * high + low;
    const end = at + 11 + 2 * count;
    if (count === 0 || offset + count > 0x10000 || end > size) break;
    let sum = count + high + low;
    let all = 0; // negative as soon as one pair is no pair of digits
    let from = at + HEX_HEAD;
    let to = used;
    const stop = used + count;
    // Sixteen characters a turn, then eight: two loads, four looks into the table, one store. Pair by pair takes half as
    // long again, eight at a time a tenth.
    for (; to + 8 <= stop; to += 8, from += 16) {
      const first = input.getInt32(from, true);
      const second = input.getInt32(from + 4, true);
      const third = input.getInt32(from + 8, true);
      const fourth = input.getInt32(from + 12, true);
      const a = table[first & 0xffff] as number;
      const b = table[first >>> 16] as number;
      const c = table[second & 0xffff] as number;
      const d = table[second >>> 16] as number;
      const e = table[third & 0xffff] as number;
      const f = table[third >>> 16] as number;
      const g = table[fourth & 0xffff] as number;
      const h = table[fourth >>> 16] as number;
      all |= a | b | c | d | e | f | g | h;
      sum += a + b + c + d + e + f + g + h;
      output.setInt32(to, a | (b << 8) | (c << 16) | (d << 24), true);
      output.setInt32(to + 4, e | (f << 8) | (g << 16) | (h << 24), true);
    }
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
    if ((all | checksum) < 0 || ((sum + checksum) & 0xff) !== 0) break;
    const after = bytes[end];
    if (after !== LF && after !== CR && end < size) break;
    if (offset !== next || used >= markAt) {
      builder.commit(run.address, used - run.from, run.position, run.line);
      run = { address: base + offset, from: used, position: at + HEX_HEAD, line };
      markAt = used + MARK_EVERY;
    }
    used = stop;
    next = offset + count;
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
}
