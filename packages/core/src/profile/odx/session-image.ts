import { common, contains, lengthOf, MEMORY_END, type Span, subtract, totalLength } from "../../bytes/span.js";
import { fromLatin1, toUtf8 } from "../../bytes/text.js";
import { type Finding, finding } from "../../findings/catalogue.js";
import type { Decoded } from "../../formats/decoded.js";
import { pairs } from "../../formats/digits.js";
import { FilePieces } from "../../formats/file-pieces.js";
import { decodeIntelHex } from "../../formats/intel-hex.js";
import { decodeSRecord } from "../../formats/s-record.js";
import type { Segment } from "../../image/image.js";
import type { FlashBlock, FlashData } from "./block.js";
import { type FlashSession, memorySpans } from "./container.js";

/** The files beside a container, by the names that it calls them. */
export type FilesBeside = ReadonlyMap<string, Uint8Array>;

/** The names of the files beside the container that hold data of `session`. Each lies in the container's folder. */
export function filesOf({ blocks }: FlashSession): readonly string[] {
  return [...new Set(blocks.flatMap(({ data }) => (data?.file === undefined ? [] : [data.file])))];
}

/**
 * The image that a session writes: the data of its blocks at their addresses in the unit. What cannot be placed, or read,
 * is told and left out; holes stay holes. A byte of it has no place in the file.
 */
export function decodeSession(session: FlashSession, files: FilesBeside): Decoded {
  const [unknown] = session.unknown;
  const findings: Finding[] = unknown
    ? [finding("container/element-unknown", { ...unknown, count: session.unknown.length })]
    : [];
  const reader = new DataReader(files);
  const memory = memorySpans(session);
  const parts: Segment[] = [];
  let total = 0;
  for (const block of session.blocks) {
    const read = reader.read(block, findings);
    const ofBlock = read ? placed(block, read, findings) : [];
    const length = ofBlock.reduce((sum, { bytes }) => sum + bytes.length, 0);
    if (total + length > 2 * reader.bytes) {
      findings.push(
        finding("container/data-repeated", { block: block.name, total: total + length, data: reader.bytes }),
      );
      break;
    }
    total += length;
    parts.push(...inMemory(block, ofBlock, memory, findings));
  }
  const pieces = new FilePieces(total, false);
  for (const { address, bytes } of parts) pieces.add(address, bytes, { offset: 0 });
  const built = pieces.build();
  const ofBlocks = built.findings.map((one) => ({
    ...one,
    where: one.where.map(({ span }) => (span ? { span } : {})),
  }));
  const empty = built.image.length === 0 && findings.length === 0;
  return {
    format: "odx-f",
    image: built.image,
    findings: [...findings, ...ofBlocks, ...(empty ? [finding("file/empty", { format: "odx-f" })] : [])] as Finding[],
    originOf: () => undefined,
  };
}

/** The data of a block: at their own addresses, or one byte after the other. */
type BlockData =
  | { readonly segments: readonly Segment[] }
  /** What the bytes spell as digits comes first, when they are nothing but digits; in a file both may be meant. */
  | { readonly plain: readonly Uint8Array[] };

/** Reads the data of blocks, each of them once however many blocks name it, and counts the bytes that come out. */
class DataReader {
  bytes = 0;
  readonly #read = new Map<FlashData, BlockData | undefined>();

  constructor(readonly files: FilesBeside) {}

  /** The data of `block`, or undefined when they cannot be read; why is added to `findings`. */
  read(block: FlashBlock, findings: Finding[]): BlockData | undefined {
    const { name, data, segments } = block;
    if (!data) {
      findings.push(finding("container/data-absent", { block: name, file: undefined, late: false }));
      return undefined;
    }
    if (!data.plain || segments.some(({ plain }) => !plain)) {
      findings.push(finding("container/data-encoded", { block: name }));
      return undefined;
    }
    if (!this.#read.has(data)) this.#read.set(data, this.#decode(name, data, findings));
    return this.#read.get(data);
  }

  #decode(block: string, data: FlashData, findings: Finding[]): BlockData | undefined {
    const { file, late, format, inside } = data;
    const text = inside ?? "";
    const bytes = file === undefined ? (fromLatin1(text) ?? toUtf8(text)) : this.files.get(file);
    if (!bytes) {
      findings.push(finding("container/data-absent", { block, file, late }));
      return undefined;
    }
    if (format === "INTEL-HEX" || format === "MOTOROLA-S") {
      const decoded = format === "INTEL-HEX" ? decodeIntelHex(bytes) : decodeSRecord(bytes);
      findings.push(...decoded.findings);
      this.bytes += decoded.image.length;
      return { segments: decoded.image.segments };
    }
    if (format !== "BINARY") {
      findings.push(finding("container/data-format-unknown", { block, format }));
      return undefined;
    }
    const plain = [spelledBy(bytes), file === undefined ? undefined : bytes].filter((one) => one !== undefined);
    if (plain.length === 0) findings.push(finding("container/data-digits", { block }));
    this.bytes += Math.max(0, ...plain.map(({ length }) => length));
    return plain.length === 0 ? undefined : { plain };
  }
}

/** The bytes that text of nothing but pairs of digits and blanks spells; undefined when it is other text. */
function spelledBy(text: Uint8Array): Uint8Array | undefined {
  const bytes = new Uint8Array(text.length >> 1);
  let count = 0;
  for (const character of text) {
    if (character === 0x20 || (character >= 0x09 && character <= 0x0d)) continue;
    const digit = pairs[0x30 + 256 * character] as number; // of 0 and it
    if (digit < 0) return undefined;
    const at = count++ >> 1;
    bytes[at] = 16 * (bytes[at] as number) + digit;
  }
  return count % 2 === 0 ? bytes.subarray(0, count / 2) : undefined;
}

/** The parts of a block at their addresses in the unit. */
function placed(block: FlashBlock, data: BlockData, findings: Finding[]): Segment[] {
  const source = "plain" in data ? laidOut(block, data.plain, findings) : inSegments(block, data.segments, findings);
  const { filters, offset, name } = block;
  const kept = filters.length === 0 ? source : filters.flatMap((filter) => source.flatMap((part) => cut(part, filter)));
  return kept.flatMap((part): Segment[] => {
    const address = part.address + offset;
    if (address >= 0 && address + part.bytes.length <= MEMORY_END) return [{ address, bytes: part.bytes }];
    findings.push(finding("container/address-overflow", { block: name, address: part.address, offset }));
    return [];
  });
}

/** What a block that a tester puts into the working memory is called. Common practice, no source. */
const loaders = /LOADER|DRIVER|KERNEL|RAM\b|SBL/i;

/** The parts as far as they lie in the memory that the container describes. */
function inMemory(
  { name, type }: FlashBlock,
  parts: readonly Segment[],
  memory: readonly Span[],
  findings: Finding[],
): readonly Segment[] {
  const outside = memory.length === 0 ? [] : subtract(parts.map(spanOf), memory);
  if (!outside[0]) return parts;
  const facts = { block: name, bytes: totalLength(outside), first: outside[0].start };
  const whole = facts.bytes === parts.reduce((total, { bytes }) => total + bytes.length, 0);
  const loader = whole && (loaders.test(type) || loaders.test(name));
  const code = loader ? "container/loader-left-out" : "container/data-outside-memory";
  findings.push(finding(code, facts, { span: outside[0] }));
  return memory.flatMap((span) => parts.flatMap((part) => cut(part, span)));
}

/** Bytes without addresses, handed out to the segments in their order: of two readings the one that fills them. */
function laidOut({ name, segments }: FlashBlock, plain: readonly Uint8Array[], findings: Finding[]): Segment[] {
  const expected = totalLength(segments.map(({ span }) => span));
  const bytes = plain.find(({ length }) => length === expected) ?? plain[0] ?? new Uint8Array(0);
  if (expected !== bytes.length) {
    findings.push(finding("container/data-length", { block: name, expected, got: bytes.length }));
  }
  let at = 0;
  return segments.map(({ span }) => {
    const part = bytes.subarray(at, at + lengthOf(span));
    at += lengthOf(span);
    return { address: span.start, bytes: part };
  });
}

/** Bytes with addresses, as far as they lie in the segments; all of them when a block names no segment. */
function inSegments({ name, segments }: FlashBlock, parts: readonly Segment[], findings: Finding[]): Segment[] {
  if (segments.length === 0) return [...parts];
  const wanted = segments.map(({ span }) => span);
  const there = parts.map(spanOf);
  const outside = subtract(there, wanted);
  if (outside[0]) {
    const facts = { block: name, bytes: totalLength(outside), first: outside[0].start };
    findings.push(finding("container/data-outside-segments", facts, { span: outside[0] }));
  }
  const missing = subtract(wanted, there);
  if (missing[0]) {
    const facts = { block: name, bytes: totalLength(missing), first: missing[0].start };
    findings.push(finding("container/segment-incomplete", facts, { span: missing[0] }));
  }
  return common(there, wanted).flatMap((span) =>
    parts.flatMap((part) => (contains(spanOf(part), span) ? cut(part, span) : [])),
  );
}

function spanOf({ address, bytes }: Segment): Span {
  return { start: address, end: address + bytes.length };
}

function cut({ address, bytes }: Segment, span: Span): Segment[] {
  const start = Math.max(address, span.start);
  const end = Math.min(address + bytes.length, span.end);
  return start < end ? [{ address: start, bytes: bytes.subarray(start - address, end - address) }] : [];
}
