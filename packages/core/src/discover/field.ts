/**
 * Fast arithmetic on polynomials over GF(2) modulo the polynomial of a CRC of at most 32 bits: bit i of a number is the
 * coefficient of x^i, as a register that shifts left has it. What a reflected CRC holds is reflected before it comes here.
 */
export class Field {
  readonly #top: number;
  readonly #mask: number;
  /** 1 / x. */
  readonly inverse: number;

  constructor(
    readonly width: number,
    readonly poly: number,
  ) {
    this.#top = width - 1;
    this.#mask = width === 32 ? -1 : 2 ** width - 1;
    this.inverse = ((poly >>> 1) | (1 << this.#top)) & this.#mask;
  }

  /** `value` times x. */
  up(value: number): number {
    const shifted = (value << 1) & this.#mask;
    return (value >>> this.#top) & 1 ? shifted ^ this.poly : shifted;
  }

  /** The product of `a` and `b`, a bit of `b` at a time but in one chain without branches. */
  multiply(a: number, b: number): number {
    const { poly } = this;
    const top = this.#top;
    const mask = this.#mask;
    let product = 0;
    for (let bit = top; bit >= 0; bit--) {
      product = ((product << 1) & mask) ^ (poly & -((product >>> top) & 1)) ^ (a & -((b >>> bit) & 1));
    }
    return product;
  }

  /** x^exponent, which may be negative. */
  power(exponent: number): number {
    let power = 1;
    let square = exponent < 0 ? this.inverse : this.up(1);
    for (let left = Math.abs(exponent); left > 0; left = Math.floor(left / 2)) {
      if (left % 2 === 1) power = this.multiply(power, square);
      square = this.multiply(square, square);
    }
    return power;
  }

  /** A table of 256 for each byte of a number from the lowest up: what they give adds up to it times `factor`. */
  tables(factor: number, into: Int32Array = this.noTables()): Int32Array {
    let value = factor;
    for (let bit = 0; bit < this.width; bit++) {
      const base = 256 * (bit >>> 3);
      const size = 1 << (bit & 7);
      for (let i = 0; i < size; i++) into[base + size + i] = (into[base + i] as number) ^ value;
      value = this.up(value);
    }
    return into;
  }

  /** Room for tables. */
  noTables(): Int32Array {
    return new Int32Array(32 * this.width);
  }

  /** What each byte leaves in an empty register. */
  byteTable(): Int32Array {
    return this.tables(this.power(this.width)).subarray(0, 256);
  }
}

/** `value` times the factor of `tables`. */
export function timesTables(tables: Int32Array, value: number): number {
  switch (tables.length) {
    case 256:
      return tables[value & 255] as number;
    case 512:
      return (tables[value & 255] as number) ^ (tables[256 + ((value >>> 8) & 255)] as number);
    default:
      return (
        (tables[value & 255] as number) ^
        (tables[256 + ((value >>> 8) & 255)] as number) ^
        (tables[512 + ((value >>> 16) & 255)] as number) ^
        (tables.length === 768 ? 0 : (tables[768 + (value >>> 24)] as number))
      );
  }
}

/** Each of the first `count` numbers of `values`, and `added` to it, times the factor of `tables`. */
export function timesTablesAll(
  tables: Int32Array,
  values: Int32Array,
  added: number,
  count: number,
  into: Int32Array,
): void {
  switch (tables.length) {
    case 256:
      for (let i = 0; i < count; i++) into[i] = tables[(values[i] as number) ^ added] as number;
      break;
    case 512:
      for (let i = 0; i < count; i++) {
        const sum = (values[i] as number) ^ added;
        into[i] = (tables[sum & 255] as number) ^ (tables[256 + (sum >>> 8)] as number);
      }
      break;
    case 768:
      for (let i = 0; i < count; i++) into[i] = timesTables(tables, (values[i] as number) ^ added);
      break;
    default:
      for (let i = 0; i < count; i++) {
        const sum = (values[i] as number) ^ added;
        into[i] =
          (tables[sum & 255] as number) ^
          (tables[256 + ((sum >>> 8) & 255)] as number) ^
          (tables[512 + ((sum >>> 16) & 255)] as number) ^
          (tables[768 + (sum >>> 24)] as number);
      }
  }
}

/** `value` with its lowest `width` bits in the opposite order. */
export function reversedBits(value: number, width: number): number {
  let bits = ((value >>> 1) & 0x55555555) | ((value & 0x55555555) << 1);
  bits = ((bits >>> 2) & 0x33333333) | ((bits & 0x33333333) << 2);
  bits = ((bits >>> 4) & 0x0f0f0f0f) | ((bits & 0x0f0f0f0f) << 4);
  bits = (bits << 24) | ((bits & 0xff00) << 8) | ((bits >>> 8) & 0xff00) | (bits >>> 24);
  return width === 32 ? bits : bits >>> (32 - width);
}
