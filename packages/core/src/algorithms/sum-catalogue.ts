import type { ByteOrder } from "../bytes/word.js";

/** What is the same in all checksums that are no CRC. */
interface Row {
  readonly name: string;
  readonly aliases?: readonly string[];
  /** Bits of the result. */
  readonly width: 8 | 16 | 32 | 64;
  /** Bytes of a word. */
  readonly word: 1 | 2 | 4 | 8;
  /** Which byte of a word comes first; said where a word has more than one. */
  readonly order?: ByteOrder;
  /**
   * The length must be a multiple of so many bytes, or there is no value. Where this is left out, any length will do:
   * a last word that is not whole is taken with 00 in the place of what is missing.
   */
  readonly multipleOf?: number;
  /** What it gives for the 32 bytes 01 to 10, F1 to FF, 00: the test pattern of ASAM MCD-1 XCP. */
  readonly check: bigint;
  /** Where the algorithm is from. A check value is published for the XCP types, recomputed by other means for the rest. */
  readonly source: string;
}

/** Words added up; what does not fit is dropped, added in again at the low end, or folded in twice at the end. */
export interface AddRow extends Row {
  readonly method: "add";
  readonly carry?: "end-around" | "folded-twice";
  /** Every bit of the result turned over. */
  readonly inverted?: true;
}

/** Words added modulo 2, bit by bit. */
export interface XorRow extends Row {
  readonly method: "xor";
}

/** Two running sums, the second of the first, both modulo `modulus`: second in the upper half of the result. */
export interface PairRow extends Row {
  readonly method: "pair";
  readonly modulus: number;
  /** Where the first sum starts. The second starts at 0. */
  readonly first: 0 | 1;
}

/** Each byte added to what was before, turned right by one bit. */
export interface RotateRow extends Row {
  readonly method: "rotate";
}

export type SumRow = AddRow | XorRow | PairRow | RotateRow;

const plain = "common practice, no source";
const xcp = "ASAM MCD-1 XCP, checksum types of BUILD_CHECKSUM";
const fletcher = "Fletcher's checksum (J. G. Fletcher, 1982; RFC 1146, appendix I; from memory)";

/** Sums, XORs and the like. One's and two's complement are no entries of their own: they are ways to store a value. */
export const sumCatalogue = [
  { name: "sum8", aliases: ["xcp-add-11"], method: "add", width: 8, word: 1, check: 0x10n, source: xcp },
  { name: "sum16-bytes", aliases: ["xcp-add-12"], method: "add", width: 16, word: 1, check: 0x0f10n, source: xcp },
  { name: "sum32-bytes", aliases: ["xcp-add-14"], method: "add", width: 32, word: 1, check: 0x00000f10n, source: xcp },
  { name: "sum64-bytes", method: "add", width: 64, word: 1, check: 0x0000000000000f10n, source: plain },
  { name: "sum16-le", method: "add", width: 16, word: 2, order: "little", check: 0x1800n, source: plain },
  { name: "sum16-be", method: "add", width: 16, word: 2, order: "big", check: 0x0710n, source: plain },
  { name: "sum32-le", method: "add", width: 32, word: 4, order: "little", check: 0x140c03f8n, source: plain },
  { name: "sum32-be", method: "add", width: 32, word: 4, order: "big", check: 0xfc040b10n, source: plain },
  { name: "sum64-le", method: "add", width: 64, word: 8, order: "little", check: 0x120e0a0601fdf9f4n, source: plain },
  { name: "sum64-be", method: "add", width: 64, word: 8, order: "big", check: 0xf5f9fe02060a0d10n, source: plain },
  { name: "sum32-words16-le", method: "add", width: 32, word: 2, order: "little", check: 0x00071800n, source: plain },
  { name: "sum32-words16-be", method: "add", width: 32, word: 2, order: "big", check: 0x00080710n, source: plain },
  {
    name: "sum64-words16-le",
    method: "add",
    width: 64,
    word: 2,
    order: "little",
    check: 0x0000000000071800n,
    source: plain,
  },
  {
    name: "sum64-words16-be",
    method: "add",
    width: 64,
    word: 2,
    order: "big",
    check: 0x0000000000080710n,
    source: plain,
  },
  {
    name: "sum64-words32-le",
    method: "add",
    width: 64,
    word: 4,
    order: "little",
    check: 0x00000003140c03f8n,
    source: plain,
  },
  {
    name: "sum64-words32-be",
    method: "add",
    width: 64,
    word: 4,
    order: "big",
    check: 0x00000003fc040b10n,
    source: plain,
  },
  {
    name: "sum8-carry",
    method: "add",
    width: 8,
    word: 1,
    carry: "end-around",
    check: 0x1fn,
    source: "RFC 1071's end-around carry, on bytes",
  },
  {
    name: "sum16-carry-le",
    method: "add",
    width: 16,
    word: 2,
    order: "little",
    carry: "end-around",
    check: 0x1807n,
    source: "RFC 1071's end-around carry",
  },
  {
    name: "sum16-carry-be",
    method: "add",
    width: 16,
    word: 2,
    order: "big",
    carry: "end-around",
    check: 0x0718n,
    source: "RFC 1071's end-around carry",
  },
  {
    name: "sum32-carry-le",
    method: "add",
    width: 32,
    word: 4,
    order: "little",
    carry: "end-around",
    check: 0x140c03fbn,
    source: "RFC 1071's end-around carry, on 32-bit words",
  },
  {
    name: "sum32-carry-be",
    method: "add",
    width: 32,
    word: 4,
    order: "big",
    carry: "end-around",
    check: 0xfc040b13n,
    source: "RFC 1071's end-around carry, on 32-bit words",
  },
  {
    name: "xcp-add-22-le",
    method: "add",
    width: 16,
    word: 2,
    order: "little",
    multipleOf: 2,
    check: 0x1800n,
    source: xcp,
  },
  {
    name: "xcp-add-22-be",
    method: "add",
    width: 16,
    word: 2,
    order: "big",
    multipleOf: 2,
    check: 0x0710n,
    source: xcp,
  },
  {
    name: "xcp-add-24-le",
    method: "add",
    width: 32,
    word: 2,
    order: "little",
    multipleOf: 2,
    check: 0x00071800n,
    source: xcp,
  },
  {
    name: "xcp-add-24-be",
    method: "add",
    width: 32,
    word: 2,
    order: "big",
    multipleOf: 2,
    check: 0x00080710n,
    source: xcp,
  },
  {
    name: "xcp-add-44-le",
    method: "add",
    width: 32,
    word: 4,
    order: "little",
    multipleOf: 4,
    check: 0x140c03f8n,
    source: xcp,
  },
  {
    name: "xcp-add-44-be",
    method: "add",
    width: 32,
    word: 4,
    order: "big",
    multipleOf: 4,
    check: 0xfc040b10n,
    source: xcp,
  },
  {
    name: "internet",
    aliases: ["internet-checksum", "rfc1071"],
    method: "add",
    width: 16,
    word: 2,
    order: "big",
    carry: "end-around",
    inverted: true,
    check: 0xf8e7n,
    source: "RFC 1071",
  },
  {
    name: "system-v-sum",
    aliases: ["sysv-sum"],
    method: "add",
    width: 16,
    word: 1,
    carry: "folded-twice",
    check: 0x0f10n,
    source: "System V sum; GNU coreutils, sum -s",
  },
  {
    name: "xor8",
    aliases: ["lrc"],
    method: "xor",
    width: 8,
    word: 1,
    check: 0xe0n,
    source: "ISO 1155, longitudinal parity (the standard from memory)",
  },
  { name: "xor16-le", method: "xor", width: 16, word: 2, order: "little", check: 0xe000n, source: plain },
  { name: "xor16-be", method: "xor", width: 16, word: 2, order: "big", check: 0x00e0n, source: plain },
  { name: "xor32-le", method: "xor", width: 32, word: 4, order: "little", check: 0xe0000000n, source: plain },
  { name: "xor32-be", method: "xor", width: 32, word: 4, order: "big", check: 0x000000e0n, source: plain },
  { name: "xor64-le", method: "xor", width: 64, word: 8, order: "little", check: 0xe000000000000000n, source: plain },
  { name: "xor64-be", method: "xor", width: 64, word: 8, order: "big", check: 0x00000000000000e0n, source: plain },
  {
    name: "fletcher16",
    aliases: ["fletcher-16"],
    method: "pair",
    width: 16,
    word: 1,
    modulus: 255,
    first: 0,
    check: 0xed1fn,
    source: fletcher,
  },
  {
    name: "fletcher16-mod256",
    method: "pair",
    width: 16,
    word: 1,
    modulus: 256,
    first: 0,
    check: 0x6010n,
    source: fletcher,
  },
  {
    name: "fletcher32",
    aliases: ["fletcher-32", "fletcher32-le"],
    method: "pair",
    width: 32,
    word: 2,
    order: "little",
    modulus: 65535,
    first: 0,
    check: 0x057d1807n,
    source: fletcher,
  },
  {
    name: "fletcher32-be",
    method: "pair",
    width: 32,
    word: 2,
    order: "big",
    modulus: 65535,
    first: 0,
    check: 0x7d050718n,
    source: fletcher,
  },
  {
    name: "fletcher64",
    aliases: ["fletcher-64", "fletcher64-le"],
    method: "pair",
    width: 64,
    word: 4,
    order: "little",
    modulus: 0xffffffff,
    first: 0,
    check: 0xaa86623d140c03fbn,
    source: fletcher,
  },
  {
    name: "fletcher64-be",
    method: "pair",
    width: 64,
    word: 4,
    order: "big",
    modulus: 0xffffffff,
    first: 0,
    check: 0x3e6285aafc040b13n,
    source: fletcher,
  },
  {
    name: "adler32",
    aliases: ["adler-32"],
    method: "pair",
    width: 32,
    word: 1,
    modulus: 65521,
    first: 1,
    check: 0x8d800f11n,
    source: "RFC 1950, section 8.2",
  },
  { name: "bsd-sum", method: "rotate", width: 16, word: 1, check: 0xff3fn, source: "BSD sum; GNU coreutils, sum -r" },
] as const satisfies readonly SumRow[];
