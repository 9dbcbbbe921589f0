import { latin1 } from "../bytes/text.js";
import { Refusal } from "../findings/refusal.js";

/** The one file of a zip archive: how it is packed, where, and what it must come to. */
export interface ZipEntry {
  readonly method: "stored" | "deflated";
  /** Where its packed data lie in the archive. */
  readonly data: { readonly start: number; readonly end: number };
  readonly size: number;
  readonly crc: number;
}

/** Signatures and fixed lengths of the records (PKWARE, APPNOTE.TXT 6.3, sections 4.3.7, 4.3.12, 4.3.16; from memory). */
const LOCAL = { signature: 0x04034b50, length: 30 };
const CENTRAL = { signature: 0x02014b50, length: 46 };
const END = { signature: 0x06054b50, length: 22 };
const LOCATOR_64 = { signature: 0x07064b50, length: 20 };

/** More entries than this are not even looked through. */
const ENTRIES_LOOKED_AT = 64;

const FOLDER_END = 0x2f; // a name that ends with / is a folder

/** One file of an archive, with the name that the directory gives it, one character a byte. */
export interface NamedEntry {
  readonly name: string;
  readonly entry: ZipEntry;
}

/**
 * The only file in the archive that `bytes` are; folders do not count.
 * @throws Refusal when there are several or none, when it is encrypted, a link, packed in another way than deflate, or
 *   larger than 4 GiB can say, and when the records of the archive do not agree with each other
 */
export function zipEntry(bytes: Uint8Array): ZipEntry {
  const { view, start, files } = directoryOf(bytes, ENTRIES_LOOKED_AT);
  const [only, ...others] = files;
  if (only === undefined || others.length > 0) throw several(files.length);
  return entryAt(view, only.at, start);
}

/**
 * Every file in the archive that `bytes` are, at most `most`; folders do not count.
 * @throws Refusal when there are more, or two of one name, and for each of them as `zipEntry`
 */
export function zipEntries(bytes: Uint8Array, most: number): readonly NamedEntry[] {
  const { view, start, files } = directoryOf(bytes, most);
  const names = new Set<string>();
  return files.map(({ at, name }) => {
    if (names.has(name)) throw broken("each name once", `${JSON.stringify(name.slice(0, 80))} again`, at);
    names.add(name);
    return { name, entry: entryAt(view, at, start) };
  });
}

/** The names of the files in the archive that `bytes` are, or none when it is no archive that can be read. */
export function zipNames(bytes: Uint8Array, most: number): readonly string[] {
  try {
    return directoryOf(bytes, most).files.map(({ name }) => name);
  } catch (error) {
    if (error instanceof Refusal) return [];
    throw error;
  }
}

interface Directory {
  readonly view: DataView;
  readonly start: number;
  readonly files: readonly { readonly at: number; readonly name: string }[];
}

/** Where the directory of an archive starts, and its entries that are no folders. */
function directoryOf(bytes: Uint8Array, most: number): Directory {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const end = endRecord(view);
  const count = view.getUint16(end + 10, true);
  const start = view.getUint32(end + 16, true);
  const locator = end - LOCATOR_64.length;
  const has64 = locator >= 0 && view.getUint32(locator, true) === LOCATOR_64.signature;
  if (has64 || count === 0xffff || start === 0xffffffff) {
    throw new Refusal("file/archive-zip64", "zip archive: expected a plain one, got one with 64-bit sizes");
  }
  if (count > most) throw tooMany(count, most);
  const files: { at: number; name: string }[] = [];
  let at = start;
  for (let i = 0; i < count; i++) {
    if (at + CENTRAL.length > end || view.getUint32(at, true) !== CENTRAL.signature) {
      throw broken(`${count} directory entries`, `${i}`, at);
    }
    const length = view.getUint16(at + 28, true);
    const next = at + CENTRAL.length + length + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    if (next > end) throw broken("a directory that ends before its end record", "one that does not", at);
    const name = bytes.subarray(at + CENTRAL.length, at + CENTRAL.length + length);
    if (name.at(-1) !== FOLDER_END) files.push({ at, name: latin1(name) });
    at = next;
  }
  return { view, start, files };
}

/** The last end record whose comment reaches exactly to the end of the file. */
function endRecord(view: DataView): number {
  const last = view.byteLength - END.length;
  for (let at = last; at >= 0 && at >= last - 0xffff; at--) {
    if (
      view.getUint32(at, true) === END.signature &&
      at + END.length + view.getUint16(at + 20, true) === view.byteLength
    ) {
      return at;
    }
  }
  throw broken("a directory at its end", "none", view.byteLength);
}

function entryAt(view: DataView, central: number, directory: number): ZipEntry {
  const flags = view.getUint16(central + 8, true);
  const method = view.getUint16(central + 10, true);
  const crc = view.getUint32(central + 16, true);
  const packed = view.getUint32(central + 20, true);
  const size = view.getUint32(central + 24, true);
  const kind = (view.getUint32(central + 38, true) >>> 28) & 0xf; // of the Unix mode, where one is stated
  const local = view.getUint32(central + 42, true);
  if (flags % 2 === 1) {
    throw new Refusal("file/archive-encrypted", "zip archive: expected a file that can be read, got an encrypted one");
  }
  if ([packed, size, local].includes(0xffffffff)) {
    throw new Refusal("file/archive-zip64", "zip archive: expected a plain one, got one with 64-bit sizes");
  }
  if (kind !== 0 && kind !== 8) {
    throw new Refusal("file/archive-link", "zip archive: expected a file in it, got a link or a device");
  }
  if (method !== 0 && method !== 8) {
    throw new Refusal("file/archive-method", `zip archive: expected a stored or deflated file, got method ${method}`);
  }
  if (local + LOCAL.length > directory || view.getUint32(local, true) !== LOCAL.signature) {
    throw broken("the file where the directory says", "something else", local);
  }
  // With bit 3 the sizes stand behind the data, and the local record holds zeros.
  const later = Math.floor(flags / 8) % 2 === 1;
  const agree =
    view.getUint16(local + 8, true) === method &&
    (later || (view.getUint32(local + 18, true) === packed && view.getUint32(local + 22, true) === size)) &&
    (method === 8 || packed === size);
  if (!agree) throw broken("a file as the directory describes it", "another size or method", local);
  const start = local + LOCAL.length + view.getUint16(local + 26, true) + view.getUint16(local + 28, true);
  if (start + packed > directory) throw broken("data before the directory", "data that reach into it", local);
  return { method: method === 0 ? "stored" : "deflated", data: { start, end: start + packed }, size, crc };
}

function tooMany(count: number, most: number): Refusal {
  if (most === ENTRIES_LOOKED_AT) return several(count);
  return new Refusal("file/archive-too-large", `zip archive: expected at most ${most} files in it, got ${count}`);
}

function several(count: number): Refusal {
  return new Refusal("file/archive-of-several", `zip archive: expected one file in it, got ${count}`);
}

function broken(expected: string, got: string, offset: number): Refusal {
  return new Refusal("file/archive-damaged", `zip archive: expected ${expected}, got ${got}`, { offset });
}
