import type { CrcModel } from "../../src/algorithms/crc.js";

/**
 * The CRC bit by bit, as Ross N. Williams describes the model (A Painless Guide to CRC Error Detection Algorithms,
 * 1993): what the fast engine is held against. It shares nothing with it.
 */
export class SlowCrc {
  #register: bigint;

  constructor(readonly model: Omit<CrcModel, "name">) {
    this.#register = model.init;
  }

  update(bytes: Uint8Array): void {
    for (const byte of bytes) {
      for (let i = 0; i < 8; i++) this.#step(((this.model.refin ? byte >> i : byte >> (7 - i)) & 1) === 1);
    }
  }

  register(): bigint {
    return this.#register;
  }

  value(): bigint {
    const { width, refout, xorout } = this.model;
    return (refout ? slowlyReflected(this.#register, width) : this.#register) ^ xorout;
  }

  #step(bit: boolean): void {
    const { width, poly } = this.model;
    const top = ((this.#register >> BigInt(width - 1)) & 1n) === 1n;
    this.#register = (this.#register << 1n) & ((1n << BigInt(width)) - 1n);
    if (top !== bit) this.#register ^= poly;
  }
}

/** `value` with its `width` bits in the opposite order. */
export function slowlyReflected(value: bigint, width: number): bigint {
  let result = 0n;
  for (let i = 0; i < width; i++) result |= ((value >> BigInt(i)) & 1n) << BigInt(width - 1 - i);
  return result;
}
