/**
 * Which ranges come to nothing by XOR because of how they are made: copies cancel each other, complements up to ones, and
 * of a table in which words are XORs of others, as those of a CRC are, every four. Each word gets a random number by what
 * it is, so that what cancels there too has no other reason to.
 */
export class Cancelling {
  /** The numbers of all words before each word, together. */
  readonly #before: Int32Array;

  constructor(
    content: Uint8Array,
    /** Bytes of a word. */
    readonly bytes: 1 | 2 | 4,
  ) {
    const words = wordsOf(content, bytes);
    const numbers = new Int32Array(words.length);
    const before = new Int32Array(words.length + 1);
    for (let i = 0; i < words.length; i++) {
      const apart = fourthOfFour(words, i, bytes);
      numbers[i] =
        apart === 0
          ? this.#numberOf(words[i] as number)
          : (numbers[i - apart] as number) ^ (numbers[i - 2 * apart] as number) ^ (numbers[i - 3 * apart] as number);
      before[i + 1] = (before[i] as number) ^ (numbers[i] as number);
    }
    this.#before = before;
  }

  /** Whether the range from `start` to `end` and the word `value`, which it comes to, cancel of themselves. */
  cancels(start: number, end: number, value: number): boolean {
    const last = this.#before[Math.floor(end / this.bytes)] as number;
    const rest = last ^ (this.#before[Math.ceil(start / this.bytes)] as number) ^ this.#numberOf(value);
    return rest === 0 || rest === numberOfOnes;
  }

  /** Complements have one number but for that of ones, and zeros none. */
  #numberOf(word: number): number {
    const top = 8 * this.bytes - 1;
    const isUpper = (word >>> top) & 1;
    const lower = isUpper ? ~word & (2 ** top - 1) : word;
    return scattered(lower) ^ (isUpper ? numberOfOnes : 0);
  }
}

/** How many words of a range are left to XOR that follow from no others, up to those that a word has bits. */
export function rankLeft(content: Uint8Array, start: number, end: number): number {
  const words = wordsOf(content.subarray(start, end), 4);
  const left = new Set<number>();
  for (let i = 0; i < words.length; i++) {
    if (i + 3 < words.length && fourthOfFour(words, i + 3, 4) === 1) {
      i += 3;
      continue;
    }
    const word = words[i] as number;
    const either = word < 0 ? ~word : word;
    if (!left.delete(either)) left.add(either);
  }
  return rankOf(left);
}

/** How many of `words` are no XOR of others; all 32 when there are as many as there can be without the highest bit. */
function rankOf(words: Iterable<number>): number {
  const basis = new Int32Array(32);
  let rank = 0;
  for (const word of words) {
    let rest = word;
    while (rest !== 0) {
      const highest = 31 - Math.clz32(rest);
      if (basis[highest] === 0) {
        basis[highest] = rest;
        if (++rank === 31) return 32;
        break;
      }
      rest ^= basis[highest] as number;
    }
  }
  return rank;
}

/** Each word of `content` with its highest byte first. */
function wordsOf(content: Uint8Array, bytes: 1 | 2 | 4): Int32Array {
  const words = new Int32Array(Math.floor(content.length / bytes));
  for (let i = 0, at = 0; i < words.length; i++) {
    let word = 0;
    for (let k = 0; k < bytes; k++) word = (word << 8) | (content[at++] as number);
    words[i] = word;
  }
  return words;
}

/** How far apart four words stand of which word `i` is the last and the XOR of the others; 0 when they are no such four. */
function fourthOfFour(words: Int32Array, i: number, bytes: number): number {
  for (let apart = 1; apart <= 4 / bytes && i >= 3 * apart; apart *= 2) {
    const [a, b, c] = [words[i - apart], words[i - 2 * apart], words[i - 3 * apart]] as [number, number, number];
    if ((a ^ b ^ c) === words[i] && a !== b && a !== c && b !== c) return apart;
  }
  return 0;
}

/** Any number that is no other word's. */
const numberOfOnes = 0x6b43a9b5;

/** A number that is as good as random. The mixing is that of MurmurHash3's end (from memory); nothing gives nothing. */
function scattered(word: number): number {
  let mixed = Math.imul(word ^ (word >>> 16), 0x85ebca6b);
  mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
  return mixed ^ (mixed >>> 16);
}
