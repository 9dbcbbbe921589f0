import { degreeOfBits, divided } from "./binary-polynomial.js";
import type { Field } from "./field.js";

/** More than two to this many answers are no answer. */
const mostFree = 4;

/**
 * Every number whose product with `factor` is `product`, modulo the polynomial of `field`. With a polynomial that has
 * divisors in common with the factor there are several or none.
 */
export function quotientsOf(product: number, factor: number, { width, poly }: Field): number[] {
  const unsigned = (number: number) => BigInt.asUintN(width, BigInt(number));
  const whole = (1n << BigInt(width)) | unsigned(poly);
  let [a, b] = [whole, unsigned(factor)];
  let [before, cofactor] = [0n, 1n];
  while (b !== 0n) {
    const { quotient, rest } = divided(a, b);
    [a, b] = [b, rest];
    [before, cofactor] = [cofactor, before ^ times(quotient, cofactor)];
  }
  const free = degreeOfBits(a);
  const { quotient, rest } = divided(unsigned(product), a);
  if (rest !== 0n || free > mostFree) return [];
  const step = divided(whole, a).quotient;
  return Array.from({ length: 2 ** free }, (_, i) => {
    const one = divided(times(before, quotient) ^ times(BigInt(i), step), whole).rest;
    return Number(width === 32 ? BigInt.asIntN(32, one) : one);
  });
}

function times(a: bigint, b: bigint): bigint {
  let sum = 0n;
  for (let i = 0n, left = b; left !== 0n; i++, left >>= 1n) if (left & 1n) sum ^= a << i;
  return sum;
}
