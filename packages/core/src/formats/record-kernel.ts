import { fromHex } from "../bytes/hex.js";
import { type ImageBuilder, MARK_EVERY } from "../image/builder.js";
import { recordKernelCode } from "./record-kernel-code.js";
import { headOf, type RecordShape } from "./record-shape.js";
import type { Cursor } from "./text.js";

/** What this needs of the platform; the language's own library does not declare it. */
interface Platform {
  readonly WebAssembly?: {
    readonly Module: new (code: Uint8Array) => object;
    readonly Instance: new (module: object) => { readonly exports: unknown };
  };
}

/** A shape as numbers; the characters of the mark make one, the first in the low byte. */
type ShapeNumbers = readonly [
  mark: number,
  markLength: number,
  addressLength: number,
  typed: number,
  counted: number,
  total: number,
];

/** What record-kernel.wat gives. */
interface Exports {
  readonly memory: { readonly buffer: ArrayBuffer };
  read(at: number, end: number, to: number, enough: number, ...shape: ShapeNumbers): number;
  write(
    from: number,
    count: number,
    step: number,
    to: number,
    address: number,
    ...rest: readonly [...shape: ShapeNumbers, lineEnd: number, lineEndLength: number]
  ): number;
}

/** Where things stand in the memory, as record-kernel.wat has it. */
const resultAt = 128;
const bytesAt = 1024;
const textAt = 16384;

/** Characters that are handed over at once. They spell half as many bytes at most, which fit before them. */
const pieceLength = 16384;

/** Bytes that are handed over at once: as records of one byte each they make less text than fits behind them. */
const writtenLength = 4096;

/** Smaller files are done with before this is set up. */
const worthwhile = 65536;

/** Bytes of a run below which handing over costs more than it saves. */
const leastRun = 512;

/** Reads and writes plain records several times as fast as a script does, and at full speed from the first of them on. */
export class RecordKernel {
  readonly #exports: Exports;
  readonly #memory: Uint8Array;
  readonly #result: DataView; // its words are little-endian on every machine

  constructor(exports: Exports) {
    this.#exports = exports;
    this.#memory = new Uint8Array(exports.memory.buffer);
    this.#result = new DataView(exports.memory.buffer, resultAt, 12);
  }

  /** As `readPlainRecords`, but it may also stop before a record that needs no second look. */
  read(bytes: Uint8Array, cursor: Cursor, shape: RecordShape, base: number, builder: ImageBuilder): number {
    let all = 0;
    while (cursor.at < bytes.length) {
      const piece = bytes.subarray(cursor.at, cursor.at + pieceLength);
      this.#memory.set(piece, textAt);
      const { used } = builder;
      all += this.#readPiece(piece.length, cursor, shape, base, builder);
      const count = builder.used - used;
      builder.bytes.set(this.#memory.subarray(bytesAt, bytesAt + count), used);
      if (count < leastRun) break;
    }
    return all;
  }

  /** Reads what was handed over. The builder marks every so many bytes, so it is asked for that many at a time. */
  #readPiece(length: number, cursor: Cursor, shape: RecordShape, base: number, builder: ImageBuilder): number {
    const numbers = numbersOf(shape);
    const head = headOf(shape);
    const end = textAt + length;
    let all = 0;
    let at = textAt;
    let to = bytesAt;
    for (;;) {
      const left = builder.markAt - builder.used;
      const enough = to + (left > 0 ? left : MARK_EVERY);
      const next = this.#exports.read(at, end, to, enough, ...numbers);
      const reached = this.#result.getUint32(0, true);
      const records = this.#result.getUint32(4, true);
      const address = this.#result.getUint32(8, true);
      if (records === 0) return all;
      builder.commit(base + address, reached - to, cursor.at + head, cursor.line);
      cursor.at += next - at;
      cursor.line += records;
      cursor.lineStart = cursor.at;
      all += records;
      at = next;
      to = reached;
    }
  }

  /**
   * Writes `data`, which begin at `address`, as records of at most `step` bytes into `text` from `at` on. Where they end comes
   * back.
   */
  write(
    shape: RecordShape,
    data: Uint8Array,
    address: number,
    step: number,
    lineEnd: Uint8Array,
    text: Uint8Array,
    at: number,
  ): number {
    const numbers = numbersOf(shape);
    const [end0 = 0, end1 = 0] = lineEnd;
    const pieceLength = step * Math.floor(writtenLength / step);
    let next = at;
    for (let from = 0; from < data.length; from += pieceLength) {
      const piece = data.subarray(from, from + pieceLength);
      this.#memory.set(piece, bytesAt);
      const end = this.#exports.write(
        bytesAt,
        piece.length,
        step,
        textAt,
        address + from,
        ...numbers,
        end0 + 256 * end1,
        lineEnd.length,
      );
      text.set(this.#memory.subarray(textAt, end), next);
      next += end - textAt;
    }
    return next;
  }
}

function numbersOf({ mark, addressLength, typed, counted, total }: RecordShape): ShapeNumbers {
  const characters = mark.charCodeAt(0) + (mark.length > 1 ? 256 * mark.charCodeAt(1) : 0);
  return [characters, mark.length, addressLength, Number(typed), counted, total];
}

/** Made once: it is a scratch pad, and nothing of one call is left for the next. Null where there can be none. */
let kernel: RecordKernel | null | undefined;

/** The kernel for a file of so many bytes; undefined when it is not worth it or the platform does not allow it. */
export function recordKernel(fileLength: number): RecordKernel | undefined {
  if (fileLength < worthwhile) return undefined;
  if (kernel === undefined) kernel = startKernel();
  return kernel ?? undefined;
}

function startKernel(): RecordKernel | null {
  const { WebAssembly: platform } = globalThis as Platform;
  try {
    return platform
      ? new RecordKernel(new platform.Instance(new platform.Module(fromHex(recordKernelCode))).exports as Exports)
      : null;
  } catch {
    return null; // a platform without SIMD, or a page that forbids code made of data
  }
}
