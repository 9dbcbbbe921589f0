import { Gunzip, Unzip, UnzipInflate } from "fflate";
import { Refusal } from "../findings/refusal.js";

/** What a packed file held. */
export interface Unpacked {
  readonly bytes: Uint8Array;
  readonly packed: "gzip" | "zip";
  /** The CRC-32 that the packed file states for its content. */
  readonly statedCrc: number;
}

/** Times its own size that a packed file may hold, above the first MiB: real images of erased memory stay far below. */
const ratioLimit = 1100;
const alwaysAllowed = 1024 * 1024;
const chunk = 64 * 1024;

/** Whether `bytes` begin like a gzip file (RFC 1952) or a zip archive. */
export function packedAs(bytes: Uint8Array): "gzip" | "zip" | undefined {
  if (bytes[0] === 0x1f && bytes[1] === 0x8b && bytes[2] === 8) return "gzip";
  const zip = bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4;
  return zip ? "zip" : undefined;
}

/**
 * What is in a gzip file, or in a zip archive of one file. Its length is checked here; whether the CRC-32 fits is for
 * the caller to see.
 * @throws Refusal when it is cut, holds several files, is encrypted, or holds more than `limit` bytes
 */
export function unpack(bytes: Uint8Array, packed: "gzip" | "zip", limit: number): Unpacked {
  const most = Math.min(limit, Math.max(alwaysAllowed, ratioLimit * bytes.length));
  return packed === "gzip" ? gunzip(bytes, most) : unzip(bytes, most);
}

function gunzip(bytes: Uint8Array, most: number): Unpacked {
  if (bytes.length < 18) throw broken("gzip", "a header and a trailer of 18 bytes", `${bytes.length} bytes`);
  const gatherer = new Gatherer(most);
  let done = false;
  const stream = new Gunzip((part, final) => {
    gatherer.add(part);
    done ||= final;
  });
  feed(bytes, "gzip", (part, final) => stream.push(part, final));
  const trailer = new DataView(bytes.buffer, bytes.byteOffset + bytes.length - 8, 8);
  const size = trailer.getUint32(4, true);
  // The trailer is that of the last member; files of several members are not made by programs that read units.
  if (!done || size !== gatherer.length % 2 ** 32)
    throw broken("gzip", `${size} bytes as its end states`, `${gatherer.length}`);
  return { bytes: gatherer.bytes(), packed: "gzip", statedCrc: trailer.getUint32(0, true) };
}

function unzip(bytes: Uint8Array, most: number): Unpacked {
  const entry = onlyEntry(bytes);
  const gatherer = new Gatherer(most);
  let done = false;
  const stream = new Unzip((file) => {
    file.ondata = (error, part, final) => {
      if (error) throw error;
      gatherer.add(part);
      done ||= final;
    };
    if (!file.name.endsWith("/")) file.start();
  });
  stream.register(UnzipInflate);
  feed(bytes, "zip", (part, final) => stream.push(part, final));
  if (!done || gatherer.length !== entry.size)
    throw broken("zip", `${entry.size} bytes as its directory states`, `${gatherer.length}`);
  return { bytes: gatherer.bytes(), packed: "zip", statedCrc: entry.crc };
}

/** The one file that the directory at the end of a zip archive lists. */
function onlyEntry(bytes: Uint8Array): { readonly size: number; readonly crc: number } {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  let end = bytes.length - 22;
  const last = Math.max(0, end - 0xffff);
  while (end >= last && view.getUint32(end, true) !== 0x06054b50) end--;
  if (end < last || end < 0) throw broken("zip", "a directory at its end", "none");
  const entries = view.getUint16(end + 10, true);
  if (entries !== 1) {
    throw new Refusal("file/archive-of-several", `zip archive: expected one file in it, got ${entries}`);
  }
  const directory = view.getUint32(end + 16, true);
  if (directory + 46 > end || view.getUint32(directory, true) !== 0x02014b50)
    throw broken("zip", "a directory entry", "something else");
  if (view.getUint16(directory + 8, true) % 2 === 1) {
    throw new Refusal("file/archive-encrypted", "zip archive: expected a readable file, got an encrypted one");
  }
  return { crc: view.getUint32(directory + 16, true), size: view.getUint32(directory + 24, true) };
}

function broken(packed: string, expected: string, got: string): Refusal {
  return new Refusal("file/archive-damaged", `${packed} file: expected ${expected}, got ${got}`);
}

function feed(bytes: Uint8Array, packed: string, push: (part: Uint8Array, final: boolean) => void): void {
  try {
    for (let at = 0; at < bytes.length; at += chunk) {
      push(bytes.subarray(at, at + chunk), at + chunk >= bytes.length);
    }
  } catch (error) {
    if (error instanceof Refusal) throw error;
    throw broken(packed, "packed data that can be opened", (error as Error).message);
  }
}

/** Collects what comes out, and stops before it is too much. */
class Gatherer {
  length = 0;
  readonly #parts: Uint8Array[] = [];

  constructor(readonly most: number) {}

  add(part: Uint8Array): void {
    this.length += part.length;
    if (this.length > this.most) {
      throw new Refusal("file/archive-too-large", `packed file: expected at most ${this.most} bytes in it, got more`);
    }
    if (part.length > 0) this.#parts.push(part);
  }

  bytes(): Uint8Array {
    const all = new Uint8Array(this.length);
    let at = 0;
    for (const part of this.#parts) {
      all.set(part, at);
      at += part.length;
    }
    return all;
  }
}
