import { Refusal } from "../findings/refusal.js";
import { kernelFor, slicesFor, type Tables, tablesOf } from "./crc-kernel.js";
import { type Modulus, powerOfX, reflected, repeated, residueOf } from "./crc-polynomial.js";
import { checkFill, type Running, updateWithFill } from "./running.js";

/**
 * A CRC in the parameters of the public catalogue (Ross N. Williams, A Painless Guide to CRC Error Detection
 * Algorithms, 1993): all values with the highest power of x in the highest bit, whatever is reflected.
 */
export interface CrcModel {
  readonly name: string;
  /** Bits of the register. */
  readonly width: number;
  /** Without its highest term, which is the width. */
  readonly poly: bigint;
  /** The register before the first bit. */
  readonly init: bigint;
  /** Whether the lowest bit of a byte comes first. */
  readonly refin: boolean;
  /** Whether the register is reflected as a whole at the end. */
  readonly refout: boolean;
  /** What is added to the register last. */
  readonly xorout: bigint;
}

/** The widest register that is taken. The widest one published has 82 bits. */
export const WIDEST_CRC = 128;

/** CRC-32/ISO-HDLC of `bytes` behind a message whose CRC is `before` (0 when there is none): `zlib.crc32` and its like. */
export type PlatformCrc32 = (bytes: Uint8Array, before: number) => number;

/** Fills up to so many bytes are fed; beyond, the arithmetic in BigInt is faster. */
const longestFedFill = 1 << 18;

/**
 * `model`, when a CRC can be computed by it.
 * @throws Refusal `algorithm/invalid-crc` otherwise, saying which parameter
 */
export function checkedCrcModel(model: CrcModel): CrcModel {
  const { width, poly, init, xorout } = model;
  const refuse = (name: string, expected: string, got: string) =>
    new Refusal("algorithm/invalid-crc", `${name}: expected ${expected}, got ${got}`, { path: name });
  if (!Number.isInteger(width) || width < 1 || width > WIDEST_CRC) {
    throw refuse("width", `1 to ${WIDEST_CRC} bits`, `${width}`);
  }
  for (const [name, value] of Object.entries({ poly, init, xorout })) {
    if (value < 0n || value >> BigInt(width) !== 0n) {
      throw refuse(name, `a value of ${width} bits${name === "poly" ? ", without the highest term" : ""}`, hex(value));
    }
  }
  if (poly % 2n === 0n) throw refuse("poly", "an odd value, with the highest power of x in the highest bit", hex(poly));
  return model;
}

function hex(value: bigint): string {
  return value < 0n ? `${value}` : `0x${value.toString(16)}`;
}

/** Computes one model. Holds its tables, which are made when they are first needed: keep it to use it again. */
export class CrcEngine {
  readonly #modulus: Modulus;
  readonly #crc32: PlatformCrc32 | undefined;
  #tables: Tables | undefined;

  /**
   * With `crc32` for the models that it fits: CRC-32/ISO-HDLC and what differs from it in init and xorout only.
   * @throws Refusal `algorithm/invalid-crc`
   */
  constructor(
    readonly model: CrcModel,
    crc32?: PlatformCrc32,
  ) {
    const { width, poly, refin } = checkedCrcModel(model);
    this.#modulus = { width, poly };
    this.#crc32 = width === 32 && poly === 0x04c11db7n && refin ? crc32 : undefined;
  }

  /** The model's start, or a start from any other register, given as the model gives its init. */
  start(register: bigint = this.model.init): CrcRunning {
    return new CrcRunning(this, register);
  }

  /** The CRC that a register gives at the end. */
  finish(register: bigint): bigint {
    const { width, refout, xorout } = this.model;
    return (refout ? reflected(register, width) : register) ^ xorout;
  }

  /** What `register` becomes with `count` bytes of the value `byte`, in steps as many as `count` has bits. */
  afterFill(register: bigint, byte: number, count: number): bigint {
    checkFill(byte, count);
    return repeated(register, powerOfX(8, this.#modulus), this.#left(byte), count, this.#modulus);
  }

  /** Takes `bytes` into a register in the shape of the kernels. */
  advance(state: Int32Array, bytes: Uint8Array): void {
    if (this.#crc32) {
      state[0] = ~this.#crc32(bytes, ~(state[0] as number) >>> 0);
      return;
    }
    this.#tables ??= tablesOf(
      Array.from({ length: 8 }, (_, bit) => laidOut(this.#left(2 ** bit), this.model)),
      slicesFor(state.length),
    );
    kernelFor(state.length)(this.#tables, state, bytes);
  }

  /** What `byte` leaves in an empty register. */
  #left(byte: number): bigint {
    const bits = BigInt(byte);
    const { width, refin } = this.model;
    return residueOf((refin ? reflected(bits, 8) : bits) << BigInt(width), this.#modulus);
  }
}

/** A CRC under way. */
export class CrcRunning implements Running {
  readonly #state: Int32Array;

  /** @throws RangeError when `register` is wider than the model */
  constructor(
    readonly engine: CrcEngine,
    register: bigint,
  ) {
    const { width } = engine.model;
    if (register < 0n || register >> BigInt(width) !== 0n) {
      throw new RangeError(`register: expected a value of ${width} bits, got ${register}`);
    }
    this.#state = laidOut(register, engine.model);
  }

  update(bytes: Uint8Array): void {
    this.engine.advance(this.#state, bytes);
  }

  fill(byte: number, count: number): void {
    checkFill(byte, count);
    if (count <= longestFedFill) updateWithFill((bytes) => this.update(bytes), byte, count);
    else this.#state.set(laidOut(this.engine.afterFill(this.register(), byte, count), this.engine.model));
  }

  /** The register as it stands, as the model gives its init: neither reflected nor with xorout. */
  register(): bigint {
    const { width, refin } = this.engine.model;
    return refin ? reflected(gathered(this.#state, true, width), width) : gathered(this.#state, false, width);
  }

  value(): bigint {
    const { width, refin, refout, xorout } = this.engine.model;
    const register = gathered(this.#state, refin, width);
    return (refin === refout ? register : reflected(register, width)) ^ xorout;
  }
}

/** A register in the shape of the kernels. */
function laidOut(register: bigint, { width, refin }: CrcModel): Int32Array {
  const state = new Int32Array(Math.ceil(width / 32));
  let rest = refin ? reflected(register, width) : register << BigInt(32 * state.length - width);
  for (let i = 0; i < state.length; i++) {
    const word = Number(BigInt.asIntN(32, rest));
    if (refin) state[i] = word;
    else state[state.length - 1 - i] = swapped(word);
    rest >>= 32n;
  }
  return state;
}

/** The register out of that shape, reflected when its model is one with `refin`. */
function gathered(state: Int32Array, refin: boolean, width: number): bigint {
  let register = 0n;
  for (let i = 0; i < state.length; i++) {
    const word = refin ? (state[state.length - 1 - i] as number) : swapped(state[i] as number);
    register = (register << 32n) | BigInt(word >>> 0);
  }
  return refin ? register : register >> BigInt(32 * state.length - width);
}

/** A 32-bit word with its bytes in the opposite order. */
function swapped(word: number): number {
  return (word << 24) | ((word & 0xff00) << 8) | ((word >>> 8) & 0xff00) | (word >>> 24);
}
