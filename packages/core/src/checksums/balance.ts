import type { Algorithm } from "../algorithms/algorithm.js";
import { lengthOf, type Span } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { type Piece, silenced, valueFrom } from "./feed.js";

/**
 * The stored bytes that make the whole come to `constant`, or undefined when none were found. Works for whatever is
 * linear in the stored bits, without being told what it is: CRCs and XORs over GF(2), sums modulo a power of two,
 * and sums with end-around carry. What comes back was tried on the whole.
 */
export function balancingBytes(
  algorithm: Algorithm,
  pieces: readonly Piece[],
  storedAt: Span,
  image: Image,
  constant: bigint,
): Uint8Array | undefined {
  const length = lengthOf(storedAt);
  if (algorithm.kind === "hash") return undefined; // nobody can compute one
  const over = (bytes: Uint8Array) => valueFrom(algorithm, pieces, image, { at: storedAt, bytes });
  const still = over(new Uint8Array(length));

  // What a single bit of the stored value does does not depend on the bytes around it, so they are taken as 00 here.
  const quiet = silenced(pieces, storedAt);
  const without = valueFrom(algorithm, quiet, image, { at: storedAt, bytes: new Uint8Array(length) });
  const modulus = 1n << BigInt(algorithm.width);
  const alone = Array.from({ length: 8 * length }, (_, bit) =>
    valueFrom(algorithm, quiet, image, { at: storedAt, bytes: withBits([bit], length) }),
  );

  const candidates = [
    () =>
      solveBits(
        alone.map((value) => value ^ without),
        still ^ constant,
      ),
    () =>
      solveSum(
        alone.map((value) => modulo(value - without, modulus)),
        modulo(constant - still, modulus),
        algorithm.width,
      ),
    // A sum with end-around carry and a last inversion: what it gives with nothing stored is what is to be stored.
    () =>
      constant === 0n
        ? solveSum(
            alone.map((value) => modulo(without - value, modulus)),
            still,
            algorithm.width,
          )
        : undefined,
  ];
  for (const candidate of candidates) {
    const bits = candidate();
    if (!bits) continue;
    const bytes = withBits(bits, length);
    if (over(bytes) === constant) return bytes;
  }
  return undefined;
}

function modulo(value: bigint, modulus: bigint): bigint {
  return ((value % modulus) + modulus) % modulus;
}

/** Bit 0 is the lowest bit of the first byte. */
function withBits(bits: readonly number[], length: number): Uint8Array {
  const bytes = new Uint8Array(length);
  for (const bit of bits) {
    const at = Math.floor(bit / 8);
    bytes[at] = (bytes[at] as number) | (1 << (bit % 8));
  }
  return bytes;
}

/** The columns whose XOR is `target`: Gaussian elimination over GF(2). */
function solveBits(columns: readonly bigint[], target: bigint): number[] | undefined {
  const basis: { readonly value: bigint; readonly lead: bigint; readonly columns: bigint }[] = [];
  const reduce = (value: bigint, used: bigint) => {
    let rest = value;
    let from = used;
    for (const row of basis) {
      if ((rest & row.lead) !== 0n) {
        rest ^= row.value;
        from ^= row.columns;
      }
    }
    return { rest, from };
  };
  for (const [i, column] of columns.entries()) {
    const { rest, from } = reduce(column, 1n << BigInt(i));
    if (rest !== 0n) basis.push({ value: rest, lead: rest & -rest, columns: from });
  }
  const { rest, from } = reduce(target, 0n);
  return rest === 0n ? columns.flatMap((_, i) => ((from >> BigInt(i)) & 1n ? [i] : [])) : undefined;
}

/** The columns whose sum is `target`, when each of them is a power of two: bit by bit from the lowest. */
function solveSum(columns: readonly bigint[], target: bigint, width: number): number[] | undefined {
  const used: number[] = [];
  for (let bit = 0; bit < width; bit++) {
    if (((target >> BigInt(bit)) & 1n) === 0n) continue;
    const column = columns.indexOf(1n << BigInt(bit));
    if (column < 0) return undefined;
    used.push(column);
  }
  return used;
}
