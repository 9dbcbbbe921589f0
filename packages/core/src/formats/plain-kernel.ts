import { fromHex } from "../bytes/hex.js";
import { type ImageBuilder, MARK_EVERY } from "../image/builder.js";
import { plainKernelCode } from "./plain-kernel-code.js";
import { headOf, type RecordShape } from "./record-shape.js";
import type { Cursor } from "./text.js";

/** What this needs of the platform; the language's own library does not declare it. */
interface Platform {
  readonly WebAssembly?: {
    readonly Module: new (code: Uint8Array) => object;
    readonly Instance: new (module: object) => { readonly exports: unknown };
  };
}

interface Exports {
  readonly memory: { readonly buffer: ArrayBuffer };
  read(
    at: number,
    end: number,
    to: number,
    enough: number,
    mark: number,
    markLength: number,
    addressLength: number,
    typed: number,
    counted: number,
    total: number,
  ): number;
}

/** Where things stand in the memory, as plain-kernel.wat has it. */
const resultAt = 128;
const bytesAt = 1024;
const textAt = 16384;

/** Characters that are handed over at once. They spell half as many bytes at most, which fit before them. */
const pieceLength = 16384;

/** Smaller files are read before this is set up. */
const worthwhile = 65536;

/** Bytes of a run below which handing over costs more than it saves. */
const leastRun = 512;

/** Reads plain records several times as fast as a script does, and at full speed from the first of them on. */
export class PlainKernel {
  readonly #exports: Exports;
  readonly #memory: Uint8Array;
  readonly #result: Uint32Array;

  constructor(exports: Exports) {
    this.#exports = exports;
    this.#memory = new Uint8Array(exports.memory.buffer);
    this.#result = new Uint32Array(exports.memory.buffer, resultAt, 3);
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
    const { mark, addressLength, typed, counted, total } = shape;
    const markCode = mark.charCodeAt(0) + (mark.length > 1 ? 256 * mark.charCodeAt(1) : 0);
    const head = headOf(shape);
    const end = textAt + length;
    let all = 0;
    let at = textAt;
    let to = bytesAt;
    for (;;) {
      const left = builder.markAt - builder.used;
      const enough = to + (left > 0 ? left : MARK_EVERY);
      const next = this.#exports.read(
        at,
        end,
        to,
        enough,
        markCode,
        mark.length,
        addressLength,
        Number(typed),
        counted,
        total,
      );
      const [reached, records, address] = this.#result as unknown as [number, number, number];
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
}

/** Made once: it is a scratch pad, and nothing of one call is left for the next. Null where there can be none. */
let kernel: PlainKernel | null | undefined;

/** The reader for a file of so many bytes; undefined when it is not worth it or the platform does not allow it. */
export function plainKernel(fileLength: number): PlainKernel | undefined {
  if (fileLength < worthwhile) return undefined;
  if (kernel === undefined) kernel = startKernel();
  return kernel ?? undefined;
}

function startKernel(): PlainKernel | null {
  const { WebAssembly: platform } = globalThis as Platform;
  try {
    return platform
      ? new PlainKernel(new platform.Instance(new platform.Module(fromHex(plainKernelCode))).exports as Exports)
      : null;
  } catch {
    return null; // a platform without SIMD, or a page that forbids code made of data
  }
}
