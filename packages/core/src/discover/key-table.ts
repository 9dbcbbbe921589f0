/**
 * Finds where a key occurs: a hash table in typed arrays. A key is made of one number for each content; they are mixed,
 * so what is found is a candidate that has to be looked at.
 */
export class KeyTable {
  /** Pairs of a mixed key and the entry of it that is found first, plus one: both in one line of the cache. */
  readonly #slots: Int32Array;
  /** The entry that is found after each one: of the same mixed key. */
  readonly #nexts: Int32Array;
  readonly #mask: number;
  /** A bit for each entry by its mixed key: small enough to be near, and most keys that are looked for are not there. */
  readonly #present: Int32Array;

  /** The table of the keys at `indices`, the last of them found first. */
  constructor(
    readonly keys: readonly Int32Array[],
    readonly indices: ArrayLike<number>,
  ) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(2, 2 * indices.length)));
    const mask = size - 1;
    const slots = new Int32Array(2 * size);
    const nexts = new Int32Array(indices.length);
    const present = new Int32Array(Math.max(1, size / 4));
    for (let i = 0; i < indices.length; i++) {
      const mixed = mix(keys, indices[i] as number);
      const word = (mixed >>> 5) & (present.length - 1);
      present[word] = (present[word] as number) | (1 << (mixed & 31));
      let slot = mixed & mask;
      while (slots[2 * slot + 1] !== 0 && slots[2 * slot] !== mixed) slot = (slot + 1) & mask;
      nexts[i] = (slots[2 * slot + 1] as number) - 1;
      slots[2 * slot] = mixed;
      slots[2 * slot + 1] = i + 1;
    }
    this.#mask = mask;
    this.#slots = slots;
    this.#nexts = nexts;
    this.#present = present;
  }

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

  /** The entry of this mixed key that is found first. None: -1. */
  find(mixed: number): number {
    const slots = this.#slots;
    const mask = this.#mask;
    let slot = mixed & mask;
    for (;;) {
      const entry = slots[2 * slot + 1] as number;
      if (entry === 0 || slots[2 * slot] === mixed) return entry - 1;
      slot = (slot + 1) & mask;
    }
  }

  /** The entry that comes after `entry`, of the same mixed key. None: -1. */
  next(entry: number): number {
    return this.#nexts[entry] as number;
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
