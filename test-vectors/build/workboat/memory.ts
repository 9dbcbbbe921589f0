/** A run of addresses: `start` is inside, `end` is just past. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A flash part being filled, erased to FF; words are big-endian. */
export class Memory {
  readonly bytes: Uint8Array;

  constructor(size: number) {
    this.bytes = new Uint8Array(size).fill(0xff);
  }

  put(at: number, bytes: ArrayLike<number>): void {
    this.bytes.set(bytes, at);
  }

  put16(at: number, value: number): void {
    this.put(at, [Math.floor(value / 0x100) % 0x100, value % 0x100]);
  }

  put32(at: number, value: number): void {
    this.put16(at, Math.floor(value / 0x10000));
    this.put16(at + 2, value % 0x10000);
  }

  /** ASCII text, with blanks behind it up to `length`. */
  text(at: number, text: string, length = text.length): void {
    if (text.length > length) throw new RangeError(`text: expected at most ${length} characters, got ${text}`);
    this.put(at, Buffer.from(text.padEnd(length, " "), "latin1"));
  }

  /** Decimal digits, two a byte. */
  bcd(at: number, digits: string): void {
    this.put(at, Buffer.from(digits, "hex"));
  }

  of(span: Span): Uint8Array {
    return this.bytes.subarray(span.start, span.end);
  }
}
