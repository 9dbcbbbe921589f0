import { showText } from "../bytes/text.js";
import { Refusal } from "../findings/refusal.js";
import { CrcEngine, type CrcModel, checkedCrcModel, type PlatformCrc32 } from "./crc.js";
import { crcCatalogue } from "./crc-catalogue.js";
import { type Digest, type HashName, portableDigest } from "./digest.js";
import { HashRunning } from "./hash.js";
import { nearestNames } from "./nearest-names.js";
import type { Running } from "./running.js";
import { startSum } from "./sum.js";
import { type SumRow, sumCatalogue } from "./sum-catalogue.js";

export type { Running } from "./running.js";

/** Which operation makes the value, and so what can be computed backwards. */
export type AlgorithmKind = "crc" | "sum" | "xor" | "pair" | "rotating-sum" | "hash";

/** A checksum or a hash. */
export interface Algorithm {
  /** The canonical name; for a CRC that has none, its parameters. */
  readonly name: string;
  readonly kind: AlgorithmKind;
  /** Bits of the value. */
  readonly width: number;
  /** The length of what is fed must be a multiple of so many bytes: `value` throws a RangeError where it is not. */
  readonly multipleOf: number;
  /**
   * Whether the value depends on the order of bytes, and of the bits in them, when all words are rearranged alike. A sum
   * does not. Nor do two sums modulo 2**n - 1 of words of n bits: to turn the bits of such a word, or to invert them, is to
   * multiply it, and does the same to the sums.
   */
  readonly ordered: boolean;
  start(): Running;
}

/** A name, or the parameters of a CRC. */
export type AlgorithmChoice = string | Omit<CrcModel, "name">;

/** What a platform computes faster than this library does. The values are the same. */
export interface Accelerators {
  readonly crc32?: PlatformCrc32;
  readonly digest?: Digest;
  /** Whether two arrays of one length hold the same bytes. */
  readonly equal?: (first: Uint8Array, second: Uint8Array) => boolean;
}

/**
 * The algorithm that `choice` names or describes. A CRC keeps its tables in it: keep it to compute several values.
 * @throws Refusal `algorithm/unknown` or `algorithm/invalid-crc`
 */
export function algorithmOf(choice: AlgorithmChoice, accelerators: Accelerators = {}): Algorithm {
  if (typeof choice === "string") return algorithmNamed(choice, accelerators);
  const model = checkedCrcModel({ ...choice, name: "" });
  const known = crcCatalogue.find((row) => parameters.every((parameter) => row[parameter] === model[parameter]));
  return crcAlgorithm(known ?? { ...model, name: parametersOf(model) }, accelerators);
}

/**
 * The algorithm of this name or alias. Case does not matter, and _ stands for - as well.
 * @throws Refusal `algorithm/unknown`, with the names that may have been meant
 */
export function algorithmNamed(name: string, accelerators: Accelerators = {}): Algorithm {
  const make = makers.get(keyOf(name));
  if (make) return make(accelerators);
  const near = nearestNames(keyOf(name), [...makers.keys()]).map((key) => makers.get(key)?.({}).name);
  const meant = near.length > 0 ? ` (${[...new Set(near)].join(", ")}?)` : "";
  const got = name.length > longestName ? `one of ${name.length} characters` : showText(name);
  throw new Refusal("algorithm/unknown", `algorithm: expected a known name${meant}, got ${got}`);
}

/** The canonical name of every algorithm that has one, each family by itself. */
export function algorithmNames(): readonly string[] {
  return [...crcCatalogue, ...sumCatalogue, ...hashes].map(({ name }) => name);
}

const longestName = 64;

const parameters = ["width", "poly", "init", "refin", "refout", "xorout"] as const;

/** The CRCs among the checksum types of ASAM MCD-1 XCP, BUILD_CHECKSUM. Its spelling of CITT is kept. */
const xcpAliases: Readonly<Record<string, readonly string[]>> = {
  "CRC-16/ARC": ["XCP-CRC-16"],
  "CRC-16/IBM-3740": ["XCP-CRC-16-CITT"],
  "CRC-32/ISO-HDLC": ["XCP-CRC-32"],
};

const hashes = [
  { name: "SHA-1", aliases: ["SHA1"], width: 160 },
  { name: "SHA-256", aliases: ["SHA256"], width: 256 },
] as const satisfies readonly { name: HashName; aliases: readonly string[]; width: number }[];

type Maker = (accelerators: Accelerators) => Algorithm;

const makers: ReadonlyMap<string, Maker> = new Map(
  [
    ...crcCatalogue.map((row) => ({
      names: [row.name, ...row.aliases, ...(xcpAliases[row.name] ?? [])],
      make: (accelerators: Accelerators) => crcAlgorithm(row, accelerators),
    })),
    ...sumCatalogue.map((row: SumRow) => ({
      names: [row.name, ...(row.aliases ?? [])],
      make: () => sumAlgorithm(row),
    })),
    ...hashes.map(({ name, aliases, width }) => ({
      names: [name, ...aliases],
      make: ({ digest = portableDigest }: Accelerators): Algorithm => ({
        name,
        kind: "hash",
        width,
        multipleOf: 1,
        ordered: true,
        start: () => new HashRunning(digest(name)),
      }),
    })),
  ].flatMap(({ names, make }) => names.map((name): [string, Maker] => [keyOf(name), make])),
);

function keyOf(name: string): string {
  return name.length > longestName ? "" : name.toLowerCase().replaceAll("_", "-");
}

function crcAlgorithm(model: CrcModel, { crc32 }: Accelerators): Algorithm {
  const engine = new CrcEngine(model, crc32);
  return {
    name: model.name,
    kind: "crc",
    width: model.width,
    multipleOf: 1,
    ordered: true,
    start: () => engine.start(),
  };
}

function parametersOf({ width, poly, init, refin, refout, xorout }: Omit<CrcModel, "name">): string {
  const hex = (value: bigint) => `0x${value.toString(16).padStart(Math.ceil(width / 4), "0")}`;
  const reflection = `refin=${refin} refout=${refout}`;
  return `CRC-${width} poly=${hex(poly)} init=${hex(init)} ${reflection} xorout=${hex(xorout)}`;
}

const kinds = { add: "sum", xor: "xor", pair: "pair", rotate: "rotating-sum" } as const;

function sumAlgorithm(row: SumRow): Algorithm {
  const { name, width, multipleOf = 1 } = row;
  const ordered = row.method === "pair" && row.modulus !== 2 ** (8 * row.word) - 1;
  return { name, kind: kinds[row.method], width, multipleOf, ordered, start: () => startSum(row) };
}
