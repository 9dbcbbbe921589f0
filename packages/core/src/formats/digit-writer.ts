import { digitsOfByte } from "./digits.js";
import type { RecordShape } from "./record-shape.js";

/**
 * Writes records of hexadecimal digits into a buffer that was made as large as all of them, without a string or an
 * object for any.
 */
export class DigitWriter {
  readonly bytes: Uint8Array;
  readonly #view: DataView;
  readonly #pairs = digitsOfTwoBytes();
  #at = 0;

  constructor(
    length: number,
    readonly lineEnd: Uint8Array,
  ) {
    this.bytes = new Uint8Array(length);
    this.#view = new DataView(this.bytes.buffer);
  }

  /** One record of `fields`, each a value and its length in bytes, the most significant first. */
  record(mark: string, total: number, fields: readonly (readonly [value: number, length: number])[]): void {
    for (let i = 0; i < mark.length; i++) this.bytes[this.#at++] = mark.charCodeAt(i);
    let sum = 0;
    for (const [value, length] of fields) {
      for (let i = length - 1; i >= 0; i--) {
        const byte = Math.floor(value / 256 ** i) % 256;
        this.#digits(byte);
        sum += byte;
      }
    }
    this.#digits((total - sum) & 0xff);
    this.bytes.set(this.lineEnd, this.#at);
    this.#at += this.lineEnd.length;
  }

  /** `count` bytes of `data` from `from` on, as records of at most `step` bytes from `address` on. */
  data(shape: RecordShape, data: Uint8Array, from: number, count: number, address: number, step: number): void {
    const input = new DataView(data.buffer, data.byteOffset, data.length);
    const { bytes, lineEnd } = this;
    const view = this.#view;
    const pairs = this.#pairs;
    const single = digitsOfByte; // some bundlers make a look-up of every imported name
    const { counted, addressLength, typed, total } = shape;
    const first = shape.mark.charCodeAt(0);
    const second = shape.mark.length > 1 ? shape.mark.charCodeAt(1) : 0;
    const [end0 = 0, end1] = lineEnd;
    // The halves of the address, each a small integer.
    let low = address % 0x10000;
    let high = (address - low) / 0x10000;
    let at = this.#at;
    for (let i = from; i < from + count; ) {
      const length = Math.min(step, from + count - i);
      bytes[at++] = first;
      if (second !== 0) bytes[at++] = second;
      view.setUint16(at, single[length + counted] as number, true);
      at += 2;
      let sum = length + counted + (low >>> 8) + (low & 0xff);
      if (addressLength > 2) {
        if (addressLength > 3) {
          view.setUint16(at, single[high >>> 8] as number, true);
          at += 2;
        }
        view.setUint16(at, single[high & 0xff] as number, true);
        at += 2;
        sum += (high >>> 8) + (high & 0xff);
      }
      view.setInt32(at, pairs[(low >>> 8) | ((low & 0xff) << 8)] as number, true);
      at += 4;
      if (typed) {
        view.setUint16(at, single[0] as number, true);
        at += 2;
      }
      const end = i + length;
      let sums = 0; // two sums of at most 128 bytes each, 16 bits apart
      // Four bytes a turn: one load, two looks into the table, two stores.
      for (; i + 4 <= end; i += 4, at += 8) {
        const word = input.getInt32(i, true);
        sums = (sums + (word & 0xff00ff) + ((word >>> 8) & 0xff00ff)) | 0;
        view.setInt32(at, pairs[word & 0xffff] as number, true);
        view.setInt32(at + 4, pairs[word >>> 16] as number, true);
      }
      sum += (sums & 0xffff) + (sums >>> 16);
      for (; i < end; i++, at += 2) {
        const byte = data[i] as number;
        sum += byte;
        view.setUint16(at, single[byte] as number, true);
      }
      view.setUint16(at, single[(total - sum) & 0xff] as number, true);
      at += 2;
      bytes[at++] = end0;
      if (end1 !== undefined) bytes[at++] = end1;
      low += length;
      if (low >= 0x10000) {
        low -= 0x10000;
        high++;
      }
    }
    this.#at = at;
  }

  #digits(byte: number): void {
    this.#view.setUint16(this.#at, digitsOfByte[byte] as number, true);
    this.#at += 2;
  }
}

/**
 * The four digits of two bytes, the first byte in the low half. Made anew for each file: 256 KiB that are quick to
 * fill and not worth keeping.
 */
function digitsOfTwoBytes(): Int32Array {
  const table = new Int32Array(0x10000);
  for (let second = 0; second < 256; second++) {
    const digits = (digitsOfByte[second] as number) << 16;
    for (let first = 0; first < 256; first++) table[256 * second + first] = (digitsOfByte[first] as number) | digits;
  }
  return table;
}
