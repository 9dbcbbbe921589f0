import type { ByteOrder } from "../bytes/word.js";
import { type Finding, finding } from "../findings/catalogue.js";

/** The file header of an ELF file (System V ABI, edition 4.1, and its 64-bit form; layout from memory). */
export interface ElfHeader {
  readonly width: 32 | 64;
  readonly order: ByteOrder;
  readonly machine: number;
  readonly entry: bigint;
  /** Bytes of the file header. */
  readonly length: number;
  /** Where the table of program headers stands, how many there are, and how long each is. */
  readonly table: bigint;
  readonly entries: number;
  readonly entryLength: number;
}

/** One program header. Numbers are as wide as the file has them. */
export interface ElfSegment {
  readonly index: number;
  readonly loadable: boolean;
  readonly offset: bigint;
  readonly virtual: bigint;
  readonly physical: bigint;
  /** Bytes in the file; what a segment needs besides is not content. */
  readonly length: bigint;
}

interface Damage {
  readonly damage: Finding;
}

export const ELF_MARK = [0x7f, 0x45, 0x4c, 0x46];

const headerLengths = { 32: 52, 64: 64 } as const;
const entryLengths = { 32: 32, 64: 56 } as const;
const LOADABLE = 1;

/** Of more program headers than this the file has no other count than in a section header, which is not looked at. */
const MORE_ELSEWHERE = 0xffff;

/** Names of processors by their number in the header: glibc, elf/elf.h. */
const machines: Readonly<Record<number, string>> = {
  2: "SPARC",
  3: "Intel 80386",
  4: "Motorola 68000",
  8: "MIPS",
  15: "PA-RISC",
  20: "PowerPC",
  21: "64-bit PowerPC",
  22: "S/390",
  36: "V800",
  40: "Arm",
  42: "SuperH",
  43: "SPARC 9",
  44: "TriCore",
  46: "H8/300",
  48: "H8S",
  52: "ColdFire",
  53: "68HC12",
  62: "x86-64",
  69: "68HC16",
  70: "68HC11",
  71: "68HC08",
  83: "AVR",
  87: "V850",
  88: "M32R",
  94: "Xtensa",
  105: "MSP430",
  116: "C166",
  117: "M16C",
  165: "8051",
  173: "RX",
  183: "64-bit Arm",
  197: "RL78",
  199: "78K0R",
  243: "RISC-V",
};

/** A processor as it is told: its name, or its number. */
export function machineName(machine: number): string {
  return machines[machine] ?? `machine ${machine}`;
}

/** The file header that `bytes` begin with, or what is wrong with it. */
export function readElfHeader(bytes: Uint8Array): ElfHeader | Damage {
  const wrong = (field: string, expected: string, got: string | number, offset: number): Damage => ({
    damage: finding("elf/header-damaged", { field, expected, got: String(got) }, { offset }),
  });
  const [magic, size, data, version] = [bytes.subarray(0, 4), bytes[4], bytes[5], bytes[6]];
  if (ELF_MARK.some((byte, i) => magic[i] !== byte)) return wrong("first bytes", "7F 45 4C 46", "others", 0);
  if (size !== 1 && size !== 2) return wrong("width", "1 (32 bits) or 2 (64 bits)", size ?? "the end of the file", 4);
  if (data !== 1 && data !== 2) {
    return wrong("byte order", "1 (little-endian) or 2 (big-endian)", data ?? "the end of the file", 5);
  }
  if (version !== 1) return wrong("version", "1", version ?? "the end of the file", 6);
  const width = size === 1 ? 32 : 64;
  const length = headerLengths[width];
  if (bytes.length < length) return wrong("file header", `${length} bytes`, `${bytes.length} bytes`, bytes.length);
  const little = data === 1;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const wide = (at: number) => (width === 32 ? BigInt(view.getUint32(at, little)) : view.getBigUint64(at, little));
  const step = width / 8;
  const counts = 24 + 3 * step + 4; // past entry, both tables and the flags
  const entryLength = view.getUint16(counts + 2, little);
  const entries = view.getUint16(counts + 4, little);
  const table = wide(24 + step);
  if (entries > 0 && entryLength < entryLengths[width]) {
    return wrong("length of a program header", `at least ${entryLengths[width]}`, entryLength, counts + 2);
  }
  if (entries === MORE_ELSEWHERE) return wrong("number of program headers", "fewer than 65535", entries, counts + 4);
  if (entries > 0 && table + BigInt(entries * entryLength) > BigInt(bytes.length)) {
    const needed = `a table of ${entries} program headers inside the ${bytes.length} bytes of the file`;
    return wrong("program headers", needed, `one from offset ${table}`, 24 + step);
  }
  const order = little ? "little" : "big";
  return { width, order, machine: view.getUint16(18, little), entry: wide(24), length, table, entries, entryLength };
}

/** The program headers of a file whose header is `header`. */
export function readElfSegments(bytes: Uint8Array, header: ElfHeader): readonly ElfSegment[] {
  const { width, order, table, entries, entryLength } = header;
  const little = order === "little";
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  return Array.from({ length: entries }, (_, index): ElfSegment => {
    const at = Number(table) + index * entryLength;
    // 32 bits: type, offset, virtual, physical, length. 64 bits: type, flags, then the same.
    const field = (i: number) =>
      width === 32 ? BigInt(view.getUint32(at + 4 + 4 * i, little)) : view.getBigUint64(at + 8 + 8 * i, little);
    return {
      index,
      loadable: view.getUint32(at, little) === LOADABLE,
      offset: field(0),
      virtual: field(1),
      physical: field(2),
      length: field(3),
    };
  });
}
