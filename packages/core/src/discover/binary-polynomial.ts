/**
 * Long polynomials over GF(2): bit i of word k is the coefficient of x^(32k + i). For those of a few words a bigint
 * does, with bit i for x^i.
 */
export type BinaryPolynomial = Int32Array;

/** Bytes as they go into a CRC: the first has the highest powers; within each the highest bit, or the lowest if `reflected`. */
export function polynomialOf(bytes: Uint8Array, reflected: boolean): BinaryPolynomial {
  const words = new Int32Array(Math.ceil(bytes.length / 4));
  for (let i = 0; i < bytes.length; i++) {
    const at = bytes.length - 1 - i;
    const byte = bytes[at] as number;
    const place = i >>> 2;
    words[place] = (words[place] as number) | ((reflected ? reversedByte(byte) : byte) << (8 * (i & 3)));
  }
  return words;
}

/** `polynomial` times one of a degree below 32, whose coefficients are the bits of `factor`. */
export function timesShort(polynomial: BinaryPolynomial, factor: number): BinaryPolynomial {
  const product = new Int32Array(polynomial.length + 1);
  for (let bit = 0; bit < 32; bit++) if ((factor >>> bit) & 1) addShifted(product, polynomial, polynomial.length, bit);
  return product;
}

/** The sum of two of one length. */
export function sumOf(one: BinaryPolynomial, other: BinaryPolynomial): BinaryPolynomial {
  return one.map((word, i) => word ^ (other[i] as number));
}

/** The degree, when no word from `words` up is anything but 0; -1 of nothing. */
export function degreeOf(polynomial: BinaryPolynomial, words = polynomial.length): number {
  let top = words - 1;
  while (top >= 0 && polynomial[top] === 0) top--;
  return top < 0 ? -1 : 32 * top + 31 - Math.clz32(polynomial[top] as number);
}

/** The greatest common divisor. It takes about (degree / 8)^2 steps. Both arguments are used up. */
export function commonDivisor(one: BinaryPolynomial, other: BinaryPolynomial): BinaryPolynomial {
  let [a, b] = [one, other];
  let [degreeA, degreeB] = [degreeOf(a), degreeOf(b)];
  while (degreeB >= 0) {
    if (degreeA < degreeB) {
      [a, b] = [b, a];
      [degreeA, degreeB] = [degreeB, degreeA];
      continue;
    }
    addShifted(a, b, (degreeB >>> 5) + 1, degreeA - degreeB);
    degreeA = degreeOf(a, (degreeA >>> 5) + 1);
    if (degreeA < 0) return b;
  }
  return a;
}

/** Adds the first `words` of `other`, times x^by, to `sum`. */
function addShifted(sum: BinaryPolynomial, other: BinaryPolynomial, words: number, by: number): void {
  const skip = by >>> 5;
  const shift = by & 31;
  if (shift === 0) {
    for (let i = 0; i < words; i++) sum[skip + i] = (sum[skip + i] as number) ^ (other[i] as number);
    return;
  }
  let carry = 0;
  for (let i = 0; i < words; i++) {
    const word = other[i] as number;
    sum[skip + i] = (sum[skip + i] as number) ^ (word << shift) ^ carry;
    carry = word >>> (32 - shift);
  }
  if (carry !== 0) sum[skip + words] = (sum[skip + words] as number) ^ carry;
}

/** One of low degree as a bigint. */
export function bigintOf(polynomial: BinaryPolynomial): bigint {
  return polynomial.reduceRight((value, word) => (value << 32n) | BigInt(word >>> 0), 0n);
}

/** The degree of a polynomial in a bigint, -1 of nothing. */
export function degreeOfBits(bits: bigint): number {
  return bits === 0n ? -1 : bits.toString(2).length - 1;
}

/** What `value` leaves when divided by `by`, and the quotient. */
export function divided(value: bigint, by: bigint): { quotient: bigint; rest: bigint } {
  const degree = degreeOfBits(by);
  let rest = value;
  let quotient = 0n;
  for (let top = degreeOfBits(rest); top >= degree; top = degreeOfBits(rest)) {
    rest ^= by << BigInt(top - degree);
    quotient |= 1n << BigInt(top - degree);
  }
  return { quotient, rest };
}

function reversedByte(byte: number): number {
  let bits = 0;
  for (let i = 0; i < 8; i++) bits |= ((byte >>> i) & 1) << (7 - i);
  return bits;
}
