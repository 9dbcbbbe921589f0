import { readFileSync } from "node:fs";

interface Document {
  readonly algorithms: readonly CrcEntry[];
  readonly vectors: readonly Vector[];
}

/** An entry of the catalogue as it is published; values as 0x and digits. */
export interface CrcEntry {
  readonly name: string;
  readonly aliases: readonly string[];
  readonly width: number;
  readonly poly: string;
  readonly init: string;
  readonly refin: boolean;
  readonly refout: boolean;
  readonly xorout: string;
  readonly check: string;
  readonly residue: string;
  readonly source: string;
  /** Values for further messages, computed bit by bit in two other languages; `namedMessages` has the messages. */
  readonly more: Readonly<Record<string, string>>;
}

/** A message in hex and what comes of it; which of the values is there depends on the file. */
export interface Vector {
  readonly algorithm: string;
  readonly message: string;
  readonly source: string;
  readonly crc?: string;
  readonly value?: string;
  readonly digest?: string;
  readonly repeat?: number;
  readonly wordByteOrder?: "little-endian" | "big-endian" | "any";
}

/** What `test-vectors/standards/<name>.json` holds. */
export function standard(name: string): Document {
  const file = new URL(`../../../../test-vectors/standards/${name}.json`, import.meta.url);
  return JSON.parse(readFileSync(file, "utf8")) as Document;
}

export const namedMessages: Readonly<Record<string, Uint8Array>> = {
  empty: new Uint8Array(0),
  "00x4": new Uint8Array(4),
  FFx4: new Uint8Array(4).fill(0xff),
  "00..FF": Uint8Array.from({ length: 256 }, (_, i) => i),
  "55AA": Uint8Array.of(0x55, 0xaa),
};

/** The ASCII bytes 123456789, for which the catalogue gives every check value. */
export const digits = Uint8Array.from("123456789", (digit) => digit.charCodeAt(0));

/** The test pattern of ASAM MCD-1 XCP: 01h to 10h, F1h to FFh, 00h. */
export const xcpPattern = Uint8Array.from({ length: 32 }, (_, i) => (i < 16 ? i + 1 : i + 0xe1));
