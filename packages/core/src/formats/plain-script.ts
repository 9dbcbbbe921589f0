import { type ImageBuilder, MARK_EVERY } from "../image/builder.js";
import { pairs } from "./digits.js";
import { headOf, type RecordShape } from "./record-shape.js";
import { CR, type Cursor, LF } from "./text.js";

/** `readPlainRecords` in plain words: for small files, for what the kernel leaves, and where there is none. */
export function readByScript(
  bytes: Uint8Array,
  cursor: Cursor,
  shape: RecordShape,
  base: number,
  builder: ImageBuilder,
): number {
  const { counted, addressLength, typed, total } = shape;
  const target = builder.bytes;
  const input = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const table = pairs; // some bundlers make a look-up of every imported name
  const first = shape.mark.charCodeAt(0);
  const second = shape.mark.length > 1 ? shape.mark.charCodeAt(1) : undefined;
  const head = headOf(shape);
  const lengthAt = shape.mark.length;
  const addressEnd = 256 ** addressLength;
  let { at, line, lineStart } = cursor;
  // Records that continue each other are handed to the builder together: a call for each costs a fifth of the time.
  let run = { address: 0, from: builder.used, position: 0, line };
  let used = builder.used;
  let next = -1;
  let markAt = 0;
  let records = 0;
  const size = bytes.length;
  while (at + head + 2 <= size && bytes[at] === first && (second === undefined || bytes[at + 1] === second)) {
    const length = table[input.getUint16(at + lengthAt, true)] as number;
    const count = length - counted;
    const end = at + head + 2 * count + 2;
    if (count <= 0 || end > size) break;
    let sum = length;
    let all = length; // negative as soon as one pair is no pair of digits
    let address = 0;
    let from = at + lengthAt + 2;
    for (let i = 0; i < addressLength; i++, from += 2) {
      const byte = table[input.getUint16(from, true)] as number;
      all |= byte;
      sum += byte;
      address = 256 * address + byte;
    }
    if (typed) {
      if (table[input.getUint16(from, true)] !== 0) break;
      from += 2;
    }
    let to = used;
    const stop = used + count;
    for (; to < stop; to++, from += 2) {
      const byte = table[input.getUint16(from, true)] as number;
      all |= byte;
      sum += byte;
      target[to] = byte;
    }
    const checksum = table[input.getUint16(from, true)] as number;
    if ((all | checksum) < 0 || ((sum + checksum) & 0xff) !== total || address + count > addressEnd) break;
    const after = bytes[end];
    if (after !== LF && after !== CR && end < size) break;
    if (address !== next || used >= markAt) {
      builder.commit(run.address, used - run.from, run.position, run.line);
      run = { address: base + address, from: used, position: at + head, line };
      // The builder marks here, but where a run goes on that it has marked.
      const goesOn = run.address === builder.next && used < builder.markAt;
      markAt = goesOn ? builder.markAt : used + MARK_EVERY;
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
