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

  /** Four tables of 256, one for each byte of a number from the lowest up: what they give adds up to it times `factor`. */
  tables(factor: number, into: Int32Array = new Int32Array(1024)): Int32Array {
    let value = factor;
    for (let bit = 0; bit < 32; bit++) {
      const base = 256 * (bit >>> 3);
      const size = 1 << (bit & 7);
      if (bit >= this.width) value = 0;
      for (let i = 0; i < size; i++) into[base + size + i] = (into[base + i] as number) ^ value;
      value = this.up(value);
    }
    return into;
  }

  /** What each byte leaves in an empty register. */
  byteTable(): Int32Array {
    return this.tables(this.power(this.width)).subarray(0, 256);
  }
}

/** `value` times the factor of `tables`. */
export function timesTables(tables: Int32Array, value: number): number {
  return (
    (tables[value & 255] as number) ^
    (tables[256 + ((value >>> 8) & 255)] as number) ^
    (tables[512 + ((value >>> 16) & 255)] as number) ^
    (tables[768 + (value >>> 24)] as number)
  );
}

/** `value` with its lowest `width` bits in the opposite order. */
export function reversedBits(value: number, width: number): number {
  let bits = ((value >>> 1) & 0x55555555) | ((value & 0x55555555) << 1);
  bits = ((bits >>> 2) & 0x33333333) | ((bits & 0x33333333) << 2);
  bits = ((bits >>> 4) & 0x0f0f0f0f) | ((bits & 0x0f0f0f0f) << 4);
  bits = (bits << 24) | ((bits & 0xff00) << 8) | ((bits >>> 8) & 0xff00) | (bits >>> 24);
  return width === 32 ? bits : bits >>> (32 - width);
}
