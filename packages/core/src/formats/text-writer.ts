import { digitsOfByte } from "./digits.js";

/** Writes records of hexadecimal digits into a buffer that grows, without making a string of any of them. */
export class TextWriter {
  #bytes: Uint8Array;
  #at = 0;
  #sum = 0;

  constructor(
    capacity: number,
    private readonly lineEnd: Uint8Array,
  ) {
    this.#bytes = new Uint8Array(Math.max(64, capacity));
  }

  /** Begins a record with `mark`; `digits` is the most that will follow in it. */
  begin(mark: string, digits: number): void {
    const needed = this.#at + mark.length + digits + 2;
    if (needed > this.#bytes.length) {
      const larger = new Uint8Array(Math.max(needed, 2 * this.#bytes.length));
      larger.set(this.#bytes.subarray(0, this.#at));
      this.#bytes = larger;
    }
    for (let i = 0; i < mark.length; i++) this.#bytes[this.#at++] = mark.charCodeAt(i);
    this.#sum = 0;
  }

  /** `value` in `length` bytes, the most significant first. */
  number(value: number, length: number): void {
    for (let i = length - 1; i >= 0; i--) this.#byte(Math.floor(value / 256 ** i) % 256);
  }

  data(bytes: Uint8Array, from: number, to: number): void {
    const target = this.#bytes;
    let at = this.#at;
    let sum = this.#sum;
    for (let i = from; i < to; i++) {
      const byte = bytes[i] as number;
      const pair = digitsOfByte[byte] as number;
      target[at] = pair & 0xff;
      target[at + 1] = pair >>> 8;
      at += 2;
      sum += byte;
    }
    this.#at = at;
    this.#sum = sum;
  }

  /** The sum of the bytes of this record so far. */
  get sum(): number {
    return this.#sum;
  }

  /** Ends the record with `checksum`. */
  end(checksum: number): void {
    this.#byte(checksum & 0xff);
    this.#bytes.set(this.lineEnd, this.#at);
    this.#at += this.lineEnd.length;
  }

  /** All that was written: a view. */
  written(): Uint8Array {
    return this.#bytes.subarray(0, this.#at);
  }

  #byte(byte: number): void {
    const pair = digitsOfByte[byte] as number;
    this.#bytes[this.#at++] = pair & 0xff;
    this.#bytes[this.#at++] = pair >>> 8;
    this.#sum += byte;
  }
}
