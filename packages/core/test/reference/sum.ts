import type { SumRow } from "../../src/algorithms/sum-catalogue.js";

/** The value of a sum over all of `bytes`, word by word and step by step: what the fast engines are held against. */
export function slowSum(row: SumRow, bytes: Uint8Array): bigint {
  const words = wordsOf(bytes, row);
  const modulus = 1n << BigInt(row.width);
  switch (row.method) {
    case "add": {
      let sum = 0n;
      for (const word of words) {
        sum += word;
        if (row.carry === "end-around" && sum >= modulus) sum = sum - modulus + 1n;
        if (row.carry === undefined) sum %= modulus;
      }
      if (row.carry === "folded-twice") {
        const whole = sum % (modulus * modulus);
        const once = (whole % modulus) + whole / modulus;
        sum = (once % modulus) + once / modulus;
      }
      return row.inverted ? modulus - 1n - sum : sum;
    }
    case "xor":
      return words.reduce((value, word) => value ^ word, 0n);
    case "pair": {
      let first = BigInt(row.first);
      let second = 0n;
      for (const word of words) {
        first = (first + word) % BigInt(row.modulus);
        second = (second + first) % BigInt(row.modulus);
      }
      return second * 2n ** BigInt(row.width / 2) + first;
    }
    case "rotate": {
      let sum = 0n;
      for (const word of words) sum = (sum / 2n + (sum % 2n) * 0x8000n + word) % modulus;
      return sum;
    }
  }
}

/** A last word that is not whole has 00 in the place of what is missing. */
function wordsOf(bytes: Uint8Array, { word, order }: SumRow): bigint[] {
  const words: bigint[] = [];
  for (let start = 0; start < bytes.length; start += word) {
    const own = Array.from({ length: word }, (_, i) => BigInt(bytes[start + i] ?? 0));
    if (order === "little") own.reverse();
    words.push(own.reduce((value, byte) => value * 256n + byte, 0n));
  }
  return words;
}
