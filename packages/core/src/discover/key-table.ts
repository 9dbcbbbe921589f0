/**
 * Finds where a key occurs: a hash table in typed arrays. A key is made of one number for each content; they are mixed,
 * so what is found is a candidate that has to be looked at.
 */
export class KeyTable {
  readonly #heads: Int32Array;
  readonly #nexts: Int32Array;
  readonly #mixed: Int32Array;
  readonly #mask: number;
  /** A bit for each entry by its mixed key: small enough to be near, and most keys that are looked for are not there. */
  readonly #present: Int32Array;

  /**
   * The table of the keys at `indices`, the last of them found first. Of keys that are equal only so many are kept as
   * `mostAlike` says: in fill they are all alike.
   */
  constructor(
    readonly keys: readonly Int32Array[],
    indices: ArrayLike<number>,
  ) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(2, 2 * indices.length)));
    this.#mask = size - 1;
    this.#present = new Int32Array(Math.max(1, size / 4));
    this.#heads = new Int32Array(size).fill(-1);
    this.#nexts = new Int32Array(indices.length);
    this.#mixed = new Int32Array(indices.length);
    this.indices = indices;
    for (let i = 0; i < indices.length; i++) {
      const mixed = mix(keys, indices[i] as number);
      const slot = mixed & this.#mask;
      this.#mixed[i] = mixed;
      const word = (mixed >>> 5) & (this.#present.length - 1);
      this.#present[word] = (this.#present[word] as number) | (1 << (mixed & 31));
      this.#nexts[i] = this.#heads[slot] as number;
      this.#heads[slot] = i;
    }
  }

  readonly indices: ArrayLike<number>;

  /** Whether there may be an entry of this mixed key. */
  has(mixed: number): boolean {
    return (((this.#present[(mixed >>> 5) & (this.#present.length - 1)] as number) >>> (mixed & 31)) & 1) === 1;
  }

  /** Whether the keys at index `there` of what the table holds are those of `wanted` at index `at`. */
  agrees(there: number, wanted: readonly Int32Array[], at: number): boolean {
    for (let k = 0; k < wanted.length; k++) {
      if ((this.keys[k] as Int32Array)[there] !== (wanted[k] as Int32Array)[at]) return false;
    }
    return true;
  }

  /** The entry of this mixed key that comes after `entry`, or the first with -1. None: -1. */
  find(mixed: number, entry = -1): number {
    let next = entry < 0 ? (this.#heads[mixed & this.#mask] as number) : (this.#nexts[entry] as number);
    while (next >= 0 && this.#mixed[next] !== mixed) next = this.#nexts[next] as number;
    return next;
  }
}

/** One number out of the keys at `index`, one for each content. */
export function mix(keys: readonly Int32Array[], index: number): number {
  let mixed = 0;
  for (let k = 0; k < keys.length; k++) {
    mixed = Math.imul(mixed ^ ((keys[k] as Int32Array)[index] as number), 0x9e3779b1);
    mixed ^= mixed >>> 15;
  }
  mixed = Math.imul(mixed, 0x85ebca6b);
  return mixed ^ (mixed >>> 13);
}
