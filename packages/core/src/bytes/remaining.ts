/** Which of the indexes 0 to `count` - 1 were not taken yet, asked for in order: in time that hardly grows with their number. */
export class Remaining {
  /** For each index, itself while it remains, else one further on: the way to the next that remains. */
  readonly #next: Int32Array;

  constructor(readonly count: number) {
    this.#next = Int32Array.from({ length: count + 1 }, (_, i) => i);
  }

  /** The first from `index` on that remains; `count` when none does. */
  from(index: number): number {
    let end = index;
    while (this.#next[end] !== end) end = this.#next[end] as number;
    for (let i = index; i !== end; ) {
      const next = this.#next[i] as number;
      this.#next[i] = end;
      i = next;
    }
    return end;
  }

  take(index: number): void {
    this.#next[index] = index + 1;
  }
}
