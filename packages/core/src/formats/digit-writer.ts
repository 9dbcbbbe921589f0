import { digitsOfByte } from "./digits.js";
import { recordKernel } from "./record-kernel.js";
import type { RecordShape } from "./record-shape.js";

/** Bytes below which handing over to the kernel costs more than it saves. */
const fewest = 256;

/**
 * Writes records of hexadecimal digits into a buffer that was made as large as all of them, without a string or an
 * object for any.
 */
export class DigitWriter {
  readonly bytes: Uint8Array;
  readonly #view: DataView;
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
    const kernel = recordKernel(this.bytes.length);
    if (kernel && count >= fewest) {
      this.#at = kernel.write(
        shape,
        data.subarray(from, from + count),
        address,
        step,
        this.lineEnd,
        this.bytes,
        this.#at,
      );
    } else this.dataByScript(shape, data, from, count, address, step);
  }

  /** The same in plain words: for small files and short runs, and where there is no kernel. */
  dataByScript(shape: RecordShape, data: Uint8Array, from: number, count: number, address: number, step: number): void {
    const { mark, counted, addressLength, typed, total } = shape;
    for (let i = from; i < from + count; ) {
      const end = Math.min(i + step, from + count);
      const head = address + i - from;
      for (let k = 0; k < mark.length; k++) this.bytes[this.#at++] = mark.charCodeAt(k);
      let sum = end - i + counted;
      this.#digits(sum);
      for (let k = addressLength - 1; k >= 0; k--) {
        const byte = Math.floor(head / 256 ** k) & 0xff;
        this.#digits(byte);
        sum += byte;
      }
      if (typed) this.#digits(0);
      for (; i < end; i++) {
        const byte = data[i] as number;
        sum += byte;
        this.#digits(byte);
      }
      this.#digits((total - sum) & 0xff);
      this.bytes.set(this.lineEnd, this.#at);
      this.#at += this.lineEnd.length;
    }
  }

  #digits(byte: number): void {
    this.#view.setUint16(this.#at, digitsOfByte[byte] as number, true);
    this.#at += 2;
  }
}
