import type { Algorithm } from "./algorithm.js";
import { checkFill, type Running } from "./running.js";

/**
 * `algorithm` fed with the bytes of each word of `size` bytes last first, as hardware does that takes whole words most
 * significant byte first from a memory that keeps the least significant first. What is fed must be whole words.
 */
export function withReversedWords(algorithm: Algorithm, size: 2 | 4 | 8): Algorithm {
  return {
    name: algorithm.name,
    kind: algorithm.kind,
    width: algorithm.width,
    ordered: algorithm.ordered,
    multipleOf: Math.max(size, algorithm.multipleOf), // both are powers of two
    start: () => new ReversedRunning(algorithm.start(), size),
  };
}

const blockLength = 1 << 14;

class ReversedRunning implements Running {
  readonly #word: Uint8Array;
  /** Bytes of a word that is not whole yet. */
  #held = 0;
  #block: Uint8Array | undefined;

  constructor(
    readonly inner: Running,
    readonly size: number,
  ) {
    this.#word = new Uint8Array(size);
  }

  update(bytes: Uint8Array): void {
    const { size } = this;
    let at = this.#held === 0 ? 0 : Math.min(bytes.length, size - this.#held);
    this.#hold(bytes, 0, at);
    const end = bytes.length - ((bytes.length - at) % size);
    this.#block ??= new Uint8Array(blockLength);
    while (at < end) {
      const length = Math.min(blockLength, end - at);
      for (let start = 0; start < length; start += size) {
        for (let i = 0; i < size; i++) this.#block[start + i] = bytes[at + start + size - 1 - i] as number;
      }
      this.inner.update(this.#block.subarray(0, length));
      at += length;
    }
    this.#hold(bytes, end, bytes.length);
  }

  fill(byte: number, count: number): void {
    checkFill(byte, count);
    const { size } = this;
    const few = new Uint8Array(size).fill(byte);
    const ahead = this.#held === 0 ? 0 : Math.min(count, size - this.#held);
    this.#hold(few, 0, ahead);
    const rest = (count - ahead) % size;
    this.inner.fill(byte, count - ahead - rest);
    this.#hold(few, 0, rest);
  }

  value(): bigint {
    if (this.#held > 0) throw new RangeError(`words: expected a multiple of ${this.size} bytes`);
    return this.inner.value();
  }

  #hold(bytes: Uint8Array, from: number, to: number): void {
    for (let i = from; i < to; i++) {
      this.#held++;
      this.#word[this.size - this.#held] = bytes[i] as number;
      if (this.#held < this.size) continue;
      this.#held = 0;
      this.inner.update(this.#word);
    }
  }
}
