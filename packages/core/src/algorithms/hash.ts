import { readBigUint } from "../bytes/word.js";
import type { Hashing } from "./digest.js";
import { checkFill, type Running, updateWithFill } from "./running.js";

/** A hash as a running computation: its value is the digest read as one integer, the first byte highest. */
export class HashRunning implements Running {
  constructor(readonly hashing: Hashing) {}

  update(bytes: Uint8Array): void {
    this.hashing.update(bytes);
  }

  fill(byte: number, count: number): void {
    checkFill(byte, count);
    updateWithFill((bytes) => this.update(bytes), byte, count);
  }

  value(): bigint {
    return readBigUint(this.hashing.copy().digest(), "big");
  }
}
