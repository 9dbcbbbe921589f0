/**
 * Arithmetic on polynomials over GF(2) modulo the polynomial of a CRC. A number stands for a polynomial: bit i is the
 * coefficient of x^i. This is the register of the model as the catalogue describes it, before any reflection.
 */

/** What the arithmetic is modulo: x^width + poly. */
export interface Modulus {
  readonly width: number;
  readonly poly: bigint;
}

/** `value` with its lowest `width` bits in the opposite order. */
export function reflected(value: bigint, width: number): bigint {
  const bits = value.toString(2).padStart(width, "0");
  return BigInt(`0b${[...bits].reverse().join("")}`);
}

/** The product of `a` and `b`, both below x^width. */
export function multiply(a: bigint, b: bigint, { width, poly }: Modulus): bigint {
  const top = 1n << BigInt(width - 1);
  const all = (top << 1n) - 1n;
  let product = 0n;
  for (const bit of b.toString(2)) {
    product = (product & top) === 0n ? product << 1n : ((product << 1n) & all) ^ poly;
    if (bit === "1") product ^= a;
  }
  return product;
}

/** x^exponent. */
export function powerOfX(exponent: number, modulus: Modulus): bigint {
  let power = 1n % (1n << BigInt(modulus.width));
  let square = residueOf(2n, modulus);
  for (let left = exponent; left > 0; left = Math.floor(left / 2)) {
    if (left % 2 === 1) power = multiply(power, square, modulus);
    square = multiply(square, square, modulus);
  }
  return power;
}

/** `value`, which may be of any degree, brought below x^width. */
export function residueOf(value: bigint, { width, poly }: Modulus): bigint {
  const whole = (1n << BigInt(width)) | poly;
  let rest = value;
  for (let degree = rest.toString(2).length - 1; degree >= width; degree--) {
    if ((rest >> BigInt(degree)) & 1n) rest ^= whole << BigInt(degree - width);
  }
  return rest;
}

/**
 * What `register` becomes when register * factor + addend is done `count` times over. Takes as many steps as `count`
 * has bits.
 */
export function repeated(register: bigint, factor: bigint, addend: bigint, count: number, modulus: Modulus): bigint {
  let result = register;
  let by = factor;
  let plus = addend;
  for (let left = count; left > 0; left = Math.floor(left / 2)) {
    if (left % 2 === 1) result = multiply(result, by, modulus) ^ plus;
    plus ^= multiply(plus, by, modulus);
    by = multiply(by, by, modulus);
  }
  return result;
}
