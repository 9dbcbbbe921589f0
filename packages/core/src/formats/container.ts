import { Gunzip, Inflate } from "fflate";
import { algorithmOf } from "../algorithms/algorithm.js";
import { Refusal } from "../findings/refusal.js";
import { type ZipEntry, zipEntries, zipEntry } from "./zip-directory.js";

/** What a packed file may come to. */
export interface UnpackLimits {
  /** The most bytes that come out. */
  readonly bytes: number;
  /** How many times its own size they may be, beyond `UNPACKED_AT_ANY_RATIO`: `UNPACKED_RATIO` when left out. */
  readonly ratio?: number | undefined;
}

/** What came out of a packed file. */
export interface Unpacked {
  readonly bytes: Uint8Array;
  /** The CRC-32 that the file states for what is in it, and the one that came out. */
  readonly stated: number;
  readonly computed: number;
}

/** How many times its own size a packed file may hold when nobody says otherwise. */
export const UNPACKED_RATIO = 200;

/** Bytes that may come out at any ratio: the largest usual part, and one that is mostly erased packs a thousandfold. */
export const UNPACKED_AT_ANY_RATIO = 64 * 1024 * 1024;

/** Deflate makes at most 1032 bytes of one (a run of 258 in two bits). */
const MOST_PER_BYTE = 1032;

/** Packed bytes handed over at a time: many, and near a limit so few that it is not passed by more than a MiB. */
const LARGEST_STEP = 256 * 1024;
const SMALLEST_STEP = 512;

/** Whether `bytes` begin like a gzip file (RFC 1952, 2.3.1) or like a zip archive with a file in it. */
export function packedAs(bytes: Uint8Array): "gzip" | "zip" | undefined {
  const [first, second, third = 0, fourth = 0xff] = bytes;
  if (first === 0x1f && second === 0x8b && third === 8 && fourth < 0x20) return "gzip";
  return first === 0x50 && second === 0x4b && third === 3 && fourth === 4 ? "zip" : undefined;
}

/**
 * What is in a gzip file, or in a zip archive of one file.
 * @throws Refusal when it cannot be opened whole, has another length than it states, holds anything but one file, is
 *   encrypted, or comes to more than `limits` allow
 */
export function unpack(bytes: Uint8Array, packed: "gzip" | "zip", limits: UnpackLimits): Unpacked {
  return packed === "gzip" ? gunzip(bytes, limits) : unzip(bytes, limits);
}

/**
 * The document that `bytes` are, or that is packed in them as a gzip file or as the one file of a zip archive.
 * @throws Refusal as `unpack`, and when its CRC does not hold or it is packed twice
 */
export function unpackedDocument(bytes: Uint8Array, limits: UnpackLimits): Uint8Array {
  const packed = packedAs(bytes);
  if (!packed) return bytes;
  const { bytes: content, stated, computed } = unpack(bytes, packed, limits);
  if (stated !== computed) throw broken(packed, hex(stated), hex(computed));
  const inner = packedAs(content);
  if (inner) throw new Refusal("file/archive-nested", `${packed} file: expected a document in it, got a ${inner} file`);
  return content;
}

/** Packed bytes that are opened to see what is in a file. */
const STARTING = 16 * 1024;

/** What a gzip file begins with, as far as its first 16 KiB tell; empty when they cannot be opened. Nothing is checked. */
export function gzipStart(bytes: Uint8Array): Uint8Array {
  const output = new Output(STARTING, { bytes: MOST_PER_BYTE * STARTING, ratio: MOST_PER_BYTE });
  try {
    new Gunzip((part) => output.add(part)).push(bytes.subarray(0, STARTING), false);
  } catch {
    // What came out before it broke off is a start all the same; opening the file says what is wrong with it.
  }
  return output.joined();
}

/** All members of a gzip file one after the other: RFC 1952 makes them one content. */
function gunzip(bytes: Uint8Array, limits: UnpackLimits): Unpacked {
  if (bytes.length < 18) throw notWhole(`${bytes.length} bytes, where the shortest has 18`);
  const output = new Output(bytes.length, limits);
  const members: { trailer: number; end: number }[] = [];
  const stream = new Gunzip((part) => output.add(part));
  stream.onmember = (start) => members.push({ trailer: start - 8, end: output.length });
  feed(bytes, "gzip", output, (part, last) => stream.push(part, last));
  members.push({ trailer: bytes.length - 8, end: output.length });
  const content = output.joined();
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  let from = 0;
  let checked: Unpacked | undefined;
  for (const { trailer, end } of members) {
    const size = view.getUint32(trailer + 4, true);
    if (size !== (end - from) % 2 ** 32) {
      throw notWhole(`its end states ${size} bytes of content, and ${end - from} came out`);
    }
    const computed = crc32(content.subarray(from, end));
    const stated = view.getUint32(trailer, true);
    if (!checked || checked.stated === checked.computed) checked = { bytes: content, stated, computed };
    from = end;
  }
  return checked as Unpacked;
}

function unzip(bytes: Uint8Array, limits: UnpackLimits): Unpacked {
  return unpackEntry(bytes, zipEntry(bytes), limits);
}

function unpackEntry(bytes: Uint8Array, entry: ZipEntry, limits: UnpackLimits): Unpacked {
  const { size, crc, method } = entry;
  if (size > limits.bytes) throw tooLarge(limits.bytes, String(size));
  const content = method === "stored" ? stored(bytes, entry) : inflated(bytes, entry, limits);
  if (content.length !== size) throw broken("zip", `${size} bytes in it, as it states`, String(content.length));
  return { bytes: content, stated: crc, computed: crc32(content) };
}

/** A zip archive of several files. Nothing is unpacked before it is asked for. */
export interface FilePackage {
  /** The names of its files, in its order. */
  readonly names: readonly string[];
  /**
   * The content of the file `name`, or undefined when there is none. What all of them come to is limited.
   * @throws Refusal when it cannot be unpacked whole, is not as its CRC says, or all are more than is allowed
   */
  read(name: string): Uint8Array | undefined;
}

/** Files that a package may have. */
export const PACKAGE_FILES = 1000;

/**
 * The files of the zip archive that `bytes` are.
 * @throws Refusal when it is none, damaged, encrypted, holds links, two files of one name, or more than 1000
 */
export function openPackage(bytes: Uint8Array, { bytes: most, ratio }: UnpackLimits): FilePackage {
  const entries = new Map(zipEntries(bytes, PACKAGE_FILES).map(({ name, entry }) => [name, entry]));
  let left = most;
  return {
    names: [...entries.keys()],
    read(name) {
      const entry = entries.get(name);
      if (!entry) return undefined;
      const { bytes: content, stated, computed } = unpackEntry(bytes, entry, { bytes: left, ratio });
      if (stated !== computed)
        throw broken(`file ${JSON.stringify(name.slice(0, 80))} of the zip`, hex(stated), hex(computed));
      left -= content.length;
      return content;
    },
  };
}

function hex(crc: number): string {
  return `CRC-32 ${crc.toString(16).padStart(8, "0")}`;
}

function stored(bytes: Uint8Array, { data }: ZipEntry): Uint8Array {
  return bytes.subarray(data.start, data.end);
}

function inflated(bytes: Uint8Array, { data, size }: ZipEntry, limits: UnpackLimits): Uint8Array {
  const packed = bytes.subarray(data.start, data.end);
  const output = new Output(packed.length, limits);
  const stream = new Inflate((part) => {
    output.add(part);
    if (output.length > size) throw broken("zip", `${size} bytes in it, as it states`, "more");
  });
  feed(packed, "zip", output, (part, last) => stream.push(part, last));
  return output.joined();
}

/** Hands `packed` over in steps that keep what comes out of one below what is still allowed. */
function feed(packed: Uint8Array, kind: string, output: Output, push: (part: Uint8Array, last: boolean) => void): void {
  try {
    let at = 0;
    do {
      const step = Math.min(LARGEST_STEP, Math.max(SMALLEST_STEP, Math.floor(output.room / MOST_PER_BYTE)));
      const end = Math.min(packed.length, at + step);
      push(packed.subarray(at, end), end === packed.length);
      at = end;
    } while (at < packed.length);
  } catch (error) {
    if (error instanceof Refusal) throw error;
    if (kind === "gzip") throw notWhole(`its packed data break off: ${(error as Error).message}`);
    throw broken(kind, "packed data to its end", (error as Error).message);
  }
}

/** Collects what comes out, and stops when it is too much. */
class Output {
  length = 0;
  readonly #parts: Uint8Array[] = [];
  readonly #most: number;

  constructor(packed: number, { bytes, ratio = UNPACKED_RATIO }: UnpackLimits) {
    this.#most = Math.min(bytes, Math.max(UNPACKED_AT_ANY_RATIO, ratio * packed));
  }

  /** Bytes that may still come. */
  get room(): number {
    return this.#most - this.length;
  }

  add(part: Uint8Array): void {
    this.length += part.length;
    if (this.length > this.#most) throw tooLarge(this.#most, "more");
    if (part.length > 0) this.#parts.push(part);
  }

  joined(): Uint8Array {
    const all = new Uint8Array(this.length);
    let at = 0;
    for (const part of this.#parts) {
      all.set(part, at);
      at += part.length;
    }
    return all;
  }
}

function crc32(bytes: Uint8Array): number {
  const running = algorithmOf("CRC-32/ISO-HDLC").start();
  running.update(bytes);
  return Number(running.value());
}

function tooLarge(most: number, got: string): Refusal {
  return new Refusal("file/archive-too-large", `packed file: expected at most ${most} bytes in it, got ${got}`);
}

/** Cut short and damaged look alike: what stands at the end of what is left is read as the size. */
function notWhole(detail: string): Refusal {
  return new Refusal(
    "file/archive-damaged",
    `gzip file: expected a whole file, got one that is cut short or damaged (${detail})`,
  );
}

function broken(kind: string, expected: string, got: string): Refusal {
  return new Refusal("file/archive-damaged", `${kind} file: expected ${expected}, got ${got}`);
}
