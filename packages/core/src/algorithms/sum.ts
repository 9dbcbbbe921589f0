import type { ByteOrder } from "../bytes/word.js";
import { countInLane, LANES, laneSums, laneXors } from "./lanes.js";
import { PairRunning } from "./pair.js";
import { checkFill, type Running } from "./running.js";
import type { AddRow, SumRow, XorRow } from "./sum-catalogue.js";

/** `row` under way, with nothing fed yet. */
export function startSum(row: SumRow): Running {
  switch (row.method) {
    case "add":
      return new AddRunning(row);
    case "xor":
      return new XorRunning(row);
    case "pair":
      return new PairRunning(row);
    case "rotate":
      return new RotateRunning();
  }
}

/** What has every bit of a value of `width` bits turned over: value and one's complement add up to all ones. */
export function onesComplement(value: bigint, width: number): bigint {
  return value ^ ((1n << BigInt(width)) - 1n);
}

/** What a value of `width` bits lacks to 2**width: value and two's complement add up to 0. */
export function twosComplement(value: bigint, width: number): bigint {
  return BigInt.asUintN(width, -value);
}

class AddRunning implements Running {
  /** The exact sum of the bytes in each lane. */
  readonly #sums: bigint[] = Array.from({ length: LANES }, () => 0n);
  #lane = 0;

  constructor(readonly row: AddRow) {}

  update(bytes: Uint8Array): void {
    for (const [i, sum] of laneSums(bytes).entries()) if (sum > 0) this.#add((this.#lane + i) % LANES, BigInt(sum));
    this.#lane = (this.#lane + bytes.length) % LANES;
  }

  fill(byte: number, count: number): void {
    checkFill(byte, count);
    for (let lane = 0; lane < LANES; lane++) {
      this.#add(lane, BigInt(byte) * BigInt(countInLane(lane, this.#lane, count)));
    }
    this.#lane = (this.#lane + count) % LANES;
  }

  value(): bigint {
    const { width, word, order, carry, inverted, multipleOf = 1 } = this.row;
    if (this.#lane % multipleOf !== 0) throw new RangeError(`sum: expected a multiple of ${multipleOf} bytes`);
    const total = this.#sums.reduce((sum, bytes, lane) => sum + (bytes << shiftOf(lane, word, order)), 0n);
    const value = carry === undefined ? BigInt.asUintN(width, total) : withCarry(total, carry, width);
    return inverted ? onesComplement(value, width) : value;
  }

  #add(lane: number, sum: bigint): void {
    this.#sums[lane] = (this.#sums[lane] as bigint) + sum;
  }
}

/** Bits by which the bytes of a lane are worth more than as bytes. */
function shiftOf(lane: number, word: number, order: ByteOrder = "big"): bigint {
  const place = lane % word;
  return BigInt(8 * (order === "big" ? word - 1 - place : place));
}

/** A sum with its carries added in at the low end, from the exact total. */
function withCarry(total: bigint, carry: NonNullable<AddRow["carry"]>, width: number): bigint {
  const all = (1n << BigInt(width)) - 1n;
  // A carry that goes in again makes it a sum modulo 2**width - 1, where what is not nothing never comes to 0.
  if (carry === "end-around") return total === 0n ? 0n : ((total - 1n) % all) + 1n;
  const fold = (sum: bigint) => (sum & all) + (sum >> BigInt(width));
  return fold(fold(BigInt.asUintN(2 * width, total))) & all;
}

class XorRunning implements Running {
  readonly #xors = new Uint8Array(LANES);
  #lane = 0;

  constructor(readonly row: XorRow) {}

  update(bytes: Uint8Array): void {
    for (const [i, xor] of laneXors(bytes).entries()) this.#add((this.#lane + i) % LANES, xor);
    this.#lane = (this.#lane + bytes.length) % LANES;
  }

  fill(byte: number, count: number): void {
    checkFill(byte, count);
    for (let lane = 0; lane < LANES; lane++) {
      if (countInLane(lane, this.#lane, count) % 2 === 1) this.#add(lane, byte);
    }
    this.#lane = (this.#lane + count) % LANES;
  }

  value(): bigint {
    const { word, order } = this.row;
    return this.#xors.reduce((value, byte, lane) => value ^ (BigInt(byte) << shiftOf(lane, word, order)), 0n);
  }

  #add(lane: number, xor: number): void {
    this.#xors[lane] = (this.#xors[lane] as number) ^ xor;
  }
}

/** The BSD sum. Each byte waits for the one before it, so nothing makes it as fast as the others. */
class RotateRunning implements Running {
  #sum = 0;

  update(bytes: Uint8Array): void {
    let sum = this.#sum;
    for (let i = 0; i < bytes.length; i++) sum = rotated(sum, bytes[i] as number);
    this.#sum = sum;
  }

  fill(byte: number, count: number): void {
    checkFill(byte, count);
    // A step can be undone, so the same byte again and again leads back to the start, within the 65536 sums there are.
    const start = this.#sum;
    let done = 0;
    for (; done < count; done++) {
      if (done > 0 && this.#sum === start) break;
      this.#sum = rotated(this.#sum, byte);
    }
    if (done === count) return;
    for (let left = (count - done) % done; left > 0; left--) this.#sum = rotated(this.#sum, byte);
  }

  value(): bigint {
    return BigInt(this.#sum);
  }
}

function rotated(sum: number, byte: number): number {
  return (((sum >>> 1) | ((sum & 1) << 15)) + byte) & 0xffff;
}
