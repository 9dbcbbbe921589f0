import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { folders } from "../soundness/corpus.js";

/** Files of the binary formats, made from their published layouts with code of this folder's own. */

/** One program header. */
export interface MadeSegment {
  readonly type?: number;
  readonly virtual?: number;
  readonly physical: number;
  readonly bytes: Uint8Array;
  /** Bytes that the header states, where they are not those of `bytes`. */
  readonly length?: number;
}

/** An ELF file (System V ABI) of these segments, each behind the table of headers. */
export function elfFile(
  width: 32 | 64,
  order: "little" | "big",
  segments: readonly MadeSegment[],
  { machine = 20, entry = 0 } = {},
): Uint8Array {
  const little = order === "little";
  const [head, entryLength] = width === 32 ? [52, 32] : [64, 56];
  let at = head + segments.length * entryLength;
  const file = new Uint8Array(at + segments.reduce((total, { bytes }) => total + bytes.length, 0));
  const view = new DataView(file.buffer);
  const wide = (place: number, value: number) =>
    width === 32 ? view.setUint32(place, value, little) : view.setBigUint64(place, BigInt(value), little);
  file.set([0x7f, 0x45, 0x4c, 0x46, width / 32, little ? 1 : 2, 1]);
  const step = width / 8;
  view.setUint16(16, 2, little);
  view.setUint16(18, machine, little);
  view.setUint32(20, 1, little);
  wide(24, entry);
  wide(24 + step, head);
  for (const [i, value] of [head, entryLength, segments.length].entries()) {
    view.setUint16(28 + 3 * step + 2 * i, value, little);
  }
  for (const [i, { type = 1, physical, virtual = physical, bytes, length = bytes.length }] of segments.entries()) {
    const place = head + i * entryLength;
    view.setUint32(place, type, little);
    const fields = [at, virtual, physical, length, length];
    for (const [k, value] of fields.entries()) wide(place + (width === 32 ? 4 + 4 * k : 8 + 8 * k), value);
    file.set(bytes, at);
    at += bytes.length;
  }
  return file;
}

/** A block of UF2, as its published description lays it out. */
export interface MadeBlock {
  readonly address: number;
  readonly data: Uint8Array;
  readonly number: number;
  readonly count: number;
  readonly flags?: number;
  readonly family?: number;
}

export function uf2Block({ address, data, number, count, flags = 0, family = 0 }: MadeBlock): Uint8Array {
  const block = new Uint8Array(512);
  const view = new DataView(block.buffer);
  const words = [0x0a324655, 0x9e5d5157, flags, address, data.length, number, count, family];
  for (const [i, word] of words.entries()) view.setUint32(4 * i, word, true);
  block.set(data, 32);
  view.setUint32(508, 0x0ab16f30, true);
  return block;
}

export function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((total, part) => total + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** A real file out of the corpus that test-vectors/real-images/fetch-corpus.sh brings, or undefined. */
export function corpusFile(name: string): Uint8Array | undefined {
  const path = join(folders[1] as string, name);
  if (existsSync(path)) return new Uint8Array(readFileSync(path));
  if (process.env.ASSAY_REQUIRE_TOOLS === "1" && existsSync(folders[1] as string))
    throw new Error(`${name} is missing`);
  return undefined;
}
