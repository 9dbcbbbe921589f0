const bits = 20;

/** Numbers that were put in, and few others: what is not in it is nearly always told by one look. */
export class Sieve {
  readonly #words = new Int32Array(2 ** (bits - 5));

  /** `of` tells numbers apart that belong to different things. */
  add(value: number, of = 0): void {
    const slot = slotOf(value, of);
    this.#words[slot >>> 5] = (this.#words[slot >>> 5] as number) | (1 << (slot & 31));
  }

  has(value: number, of = 0): boolean {
    const slot = slotOf(value, of);
    return (((this.#words[slot >>> 5] as number) >>> (slot & 31)) & 1) === 1;
  }
}

function slotOf(value: number, of: number): number {
  return (Math.imul(value, 0x9e3779b1) ^ Math.imul(of, 0x85ebca6b)) >>> (32 - bits);
}
