import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";

/** A real open image as it is programmed into a part, decoded to plain bytes. */
export interface CleanImage {
  readonly name: string;
  /** The package it came in. */
  readonly family: string;
  readonly bytes: Uint8Array;
}

const cache = fileURLToPath(new URL("../../../../node_modules/.cache/", import.meta.url));

/** Where the images are looked for: set by the environment, else what the two fetch scripts leave behind. */
export const folders: readonly string[] = [
  process.env.ASSAY_REAL_IMAGES ?? join(cache, "real-images"),
  process.env.ASSAY_SOUNDNESS_CORPUS ?? join(cache, "soundness-corpus"),
];

/** What fetch-wide.sh leaves behind: for the count of false alarms, not for tests. */
export const wideFolder: string = process.env.ASSAY_WIDE_CORPUS ?? join(cache, "wide-corpus");

const binary =
  /\.(bin|rom|fd|img|fw|nes|stm32|dfu|imx|itb|kpxe|kkpxe|pxe|lkrn|kernal|basic|efi32)$|\/(SPL|MLO|iplboot|palcode-clipper|BIOS-[a-z-]+)$|\/(kernal|basic|chargen)$/;
const hex = /\.(hex|ihx|eep)$/;
const smallest = 2048;
const largest = 4 * 2 ** 20;

/** Every image of `where` between 2 KiB and 4 MiB, each content once, in the order of names. */
export function loadCorpus(where: readonly string[] = folders): CleanImage[] {
  const images = new Map<string, CleanImage>();
  for (const folder of where) {
    if (!existsSync(folder)) continue;
    for (const path of filesIn(folder)) {
      const bytes = contentOf(path);
      if (!bytes || bytes.length < smallest || bytes.length > largest || isContainer(bytes)) continue;
      const name = relative(folder, path);
      const key = `${bytes.length}:${hashOf(bytes)}`;
      if (!images.has(key)) images.set(key, { name, family: familyOf(name), bytes });
    }
  }
  return [...images.values()].sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** Whether an image is of the half that thresholds and tables were tuned on; figures are stated for the other half. */
export function isForTuning({ name }: CleanImage): boolean {
  return hashOf(new TextEncoder().encode(name)) % 2 === 0;
}

/** 32 bits that depend on every byte (FNV-1a). */
export function hashOf(bytes: Uint8Array): number {
  let hash = 0x811c9dc5;
  for (const byte of bytes) hash = Math.imul(hash ^ byte, 0x01000193);
  return (hash ^ (hash >>> 15)) >>> 0;
}

/** `count` of them, spread over all by a hash of the name, so that each family has its share. */
export function spread<T extends { readonly name: string }>(all: readonly T[], count: number): T[] {
  const order = (one: T) => hashOf(new TextEncoder().encode(`order ${one.name}`));
  return [...all].sort((a, b) => order(a) - order(b)).slice(0, count);
}

function* filesIn(folder: string): Generator<string> {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory() && entry.name !== "doc") yield* filesIn(path);
    else if (entry.isFile() && (binary.test(path) || hex.test(path))) yield path;
  }
}

/** The package without its version and architecture: two releases of one are of one family. */
function familyOf(name: string): string {
  const parts = name.split("/");
  const first = parts[0] ?? "";
  const own = ["deb", "npm", "src"].includes(first) ? (parts[1] ?? first) : first;
  return own.replace(/^npm-/, "").replace(/[-_]v?[0-9]+\.[0-9].*$|_[0-9].*$/, "");
}

function contentOf(path: string): Uint8Array | undefined {
  const file = readFileSync(path);
  if (!hex.test(path)) return new Uint8Array(file);
  return decodeHex(file.toString("latin1"));
}

/** The data of an Intel HEX text from its first to its last address, FF between; undefined when it spans too much. */
function decodeHex(text: string): Uint8Array | undefined {
  const records: { address: number; data: Buffer }[] = [];
  let base = 0;
  for (const line of text.split(/\r?\n/)) {
    if (!line.startsWith(":")) continue;
    const record = Buffer.from(line.slice(1), "hex");
    const data = record.subarray(4, 4 + (record[0] ?? 0));
    if (record[3] === 0) records.push({ address: base + record.readUInt16BE(1), data });
    else if (record[3] === 2) base = data.readUInt16BE(0) * 16;
    else if (record[3] === 4) base = data.readUInt16BE(0) * 65536;
    else if (record[3] === 1) break;
  }
  if (records.length === 0) return undefined;
  const start = Math.min(...records.map(({ address }) => address));
  const end = Math.max(...records.map(({ address, data }) => address + data.length));
  if (end - start > largest) return undefined;
  const bytes = new Uint8Array(end - start).fill(0xff);
  for (const { address, data } of records) bytes.set(data, address - start);
  return bytes;
}

/** Executables, archives and compressed files are no reads of a part. */
function isContainer(bytes: Uint8Array): boolean {
  const magic = Buffer.from(bytes.subarray(0, 6)).toString("hex");
  return /^(7f454c46|1f8b|504b0304|fd377a585a00|4d5a)/.test(magic);
}
