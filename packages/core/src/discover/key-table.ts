/**
 * Finds where a key occurs: a hash table in typed arrays. A key is made of one number for each content; they are mixed,
 * so what is found is a candidate that has to be looked at.
 */
export class KeyTable {
  readonly #heads: Int32Array;
  readonly #nexts: Int32Array;
  readonly #mixed: Int32Array;
  readonly #mask: number;

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
    this.#heads = new Int32Array(size).fill(-1);
    this.#nexts = new Int32Array(indices.length);
    this.#mixed = new Int32Array(indices.length);
    this.indices = indices;
    for (let i = 0; i < indices.length; i++) {
      const mixed = mix(keys, indices[i] as number);
      const slot = mixed & this.#mask;
      this.#mixed[i] = mixed;
      this.#nexts[i] = this.#heads[slot] as number;
      this.#heads[slot] = i;
    }
  }

  readonly indices: ArrayLike<number>;

  /** The index of an entry whose key is `wanted` at `at`; the entry after `entry`, or the first with -1. None: -1. */
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
