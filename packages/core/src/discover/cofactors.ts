import { degreeOfBits, divided } from "./binary-polynomial.js";

/** Chance leaves no larger factor beside the one that is sought. */
const highestDegree = 10;
const mostDivisors = 64;

/** The divisors of `product` of degree `degree` with a constant term, when what else is in it are small factors. */
export function divisorsOf(product: bigint, degree: number): bigint[] {
  let whole = product;
  while (whole !== 0n && whole % 2n === 0n) whole >>= 1n;
  const surplus = degreeOfBits(whole) - degree;
  if (surplus === 0) return [whole];
  if (surplus < 0 || surplus > 4 * highestDegree) return [];
  let found = new Set([whole]);
  // Each round takes one small factor off each of them, until they have the degree.
  const done: bigint[] = [];
  while (found.size > 0 && done.length < mostDivisors) {
    const next = new Set<bigint>();
    for (const one of found) {
      const over = degreeOfBits(one) - degree;
      for (const factor of smallFactors()) {
        if (degreeOfBits(factor) > over) break;
        const { quotient, rest } = divided(one, factor);
        if (rest !== 0n) continue;
        if (degreeOfBits(quotient) === degree) done.push(quotient);
        else next.add(quotient);
      }
    }
    found = new Set([...next].slice(0, mostDivisors));
  }
  return [...new Set(done)];
}

let factors: readonly bigint[] | undefined;

/** All polynomials that have no divisors, up to a degree, but x itself. */
function smallFactors(): readonly bigint[] {
  if (factors) return factors;
  const found: bigint[] = [];
  for (let bits = 3n; degreeOfBits(bits) <= highestDegree; bits += 2n) {
    const half = degreeOfBits(bits) / 2;
    if (found.every((one) => degreeOfBits(one) > half || divided(bits, one).rest !== 0n)) found.push(bits);
  }
  factors = found;
  return found;
}
