const fewestBits = 12;
const mostBits = 24;

/** Numbers that were put in, and few others: what is not in it is nearly always told by one look. */
export class Sieve {
  readonly words: Int32Array;
  /** How far a mixed number is shifted to be a place in `words`. */
  readonly shift: number;

  /** Room for so many numbers that about one in 32 others passes. */
  constructor(expected: number) {
    const bits = Math.min(mostBits, Math.max(fewestBits, Math.ceil(Math.log2(Math.max(1, expected))) + 5));
    this.words = new Int32Array(2 ** (bits - 5));
    this.shift = 32 - bits;
  }

  /** `of` tells numbers apart that belong to different things. */
  add(value: number, of = 0): void {
    const slot = (Math.imul(value, 0x9e3779b1) ^ Math.imul(of, 0x85ebca6b)) >>> this.shift;
    this.words[slot >>> 5] = (this.words[slot >>> 5] as number) | (1 << (slot & 31));
  }

  has(value: number, of = 0): boolean {
    const slot = (Math.imul(value, 0x9e3779b1) ^ Math.imul(of, 0x85ebca6b)) >>> this.shift;
    return (((this.words[slot >>> 5] as number) >>> (slot & 31)) & 1) === 1;
  }

  /** Puts the indices of those of the first `count` values that pass into `passed`, and says how many did. */
  passing(values: Int32Array, count: number, passed: Int32Array): number {
    const { words, shift } = this;
    let useful = 0;
    for (let i = 0; i < count; i++) {
      const slot = Math.imul(values[i] as number, 0x9e3779b1) >>> shift;
      if (((words[slot >>> 5] as number) >>> (slot & 31)) & 1) passed[useful++] = i;
    }
    return useful;
  }

  /** The same of values that belong to the thing of their own index. */
  passingOwn(values: Int32Array, count: number, passed: Int32Array): number {
    const { words, shift } = this;
    let useful = 0;
    for (let i = 0; i < count; i++) {
      const slot = (Math.imul(values[i] as number, 0x9e3779b1) ^ Math.imul(i, 0x85ebca6b)) >>> shift;
      if (((words[slot >>> 5] as number) >>> (slot & 31)) & 1) passed[useful++] = i;
    }
    return useful;
  }
}
