/** Numbers that look random and can be had again from their seed. */
export interface Random {
  /** A whole number from 0 to `limit` - 1. */
  below(limit: number): number;
  /** A number of `bits` bits. */
  bits(bits: number): bigint;
  bytes(length: number): Uint8Array;
}

/** A seed for one run: another one each time, or the one in ASSAY_SEED. Put it into the title of what uses it. */
export const seed = Number(process.env.ASSAY_SEED ?? Date.now() % 2 ** 31);

/** The sequence of a seed: a linear congruential generator modulo 2**32, of which the upper 16 bits are used. */
export function randomFrom(seed: number): Random {
  let state = seed >>> 0;
  const next = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 16;
  };
  return {
    below: (limit) => (next() * 2 ** 16 + next()) % limit,
    bits(bits) {
      let value = 0n;
      for (let i = 0; i < bits; i += 16) value = (value << 16n) | BigInt(next());
      return value & ((1n << BigInt(bits)) - 1n);
    },
    bytes: (length) => Uint8Array.from({ length }, next),
  };
}

/**
 * The same with numbers that scatter well in all bits, which a search for sums and XORs needs: in a linear congruential
 * sequence aligned runs add up to what is known beforehand. The mixing is that of MurmurHash3's end (from memory).
 */
export function scatteredFrom(seed: number): Random {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
  return {
    below: (limit) => next() % limit,
    bits(bits) {
      let value = 0n;
      for (let i = 0; i < bits; i += 32) value = (value << 32n) | BigInt(next());
      return value & ((1n << BigInt(bits)) - 1n);
    },
    bytes: (length) => Uint8Array.from({ length }, next),
  };
}
