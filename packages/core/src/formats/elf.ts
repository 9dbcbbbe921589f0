import { MEMORY_END } from "../bytes/span.js";
import { type Finding, finding } from "../findings/catalogue.js";
import { Image } from "../image/image.js";
import type { Decoded } from "./decoded.js";
import { type ElfHeader, type ElfSegment, machineName, readElfHeader, readElfSegments } from "./elf-header.js";
import { FilePieces } from "./file-pieces.js";

/**
 * The image that the program headers of an ELF file describe: the content of every loadable segment at its physical
 * address. Sections, symbols and relocations are not looked at; what a segment only reserves stays a hole.
 */
export function decodeElf(bytes: Uint8Array): Decoded {
  const header = readElfHeader(bytes);
  if ("damage" in header) return nothing([header.damage]);
  const segments = readElfSegments(bytes, header).filter(({ loadable, length }) => loadable && length > 0n);
  if (segments.length === 0) return nothing([finding("elf/segments-absent", { entries: header.entries })]);

  const findings: Finding[] = [];
  const physical =
    segments.some((segment) => segment.physical !== 0n) || segments.every(({ virtual }) => virtual === 0n);
  const kept = placed(bytes, segments, { physical, header }, findings);
  const pieces = new FilePieces(
    kept.reduce((total, { end, offset }) => total + end - offset, 0),
    true,
  );
  for (const { address, offset, end } of kept) pieces.add(address, bytes.subarray(offset, end), { offset });
  const built = pieces.build();
  const { width, order, machine } = header;
  const entry = machine === MIPS ? withoutSign(header.entry) : header.entry;
  if (!physical) findings.push(finding("elf/physical-addresses-absent", { segments: segments.length }));
  if (kept.some(({ ownHeader }) => ownHeader)) {
    findings.push(finding("elf/header-left-out", { length: headEnd(header) }, { offset: 0 }));
  }
  findings.push(finding("elf/program", { width, order, machine: machineName(machine), segments: kept.length }));
  return {
    format: "elf",
    image: built.image,
    findings: [
      ...findings,
      ...built.findings,
      ...(built.image.length === 0 ? [finding("file/empty", { format: "elf" })] : []),
    ],
    ...(entry > 0n && entry < BigInt(MEMORY_END) && { start: { kind: "linear", address: Number(entry) } as const }),
    originOf: built.originOf,
  };
}

/** Where the header of the file and the table behind it end. */
function headEnd({ length, table, entries, entryLength }: ElfHeader): number {
  return Number(table) === length ? length + entries * entryLength : length;
}

interface PlacedSegment {
  readonly address: number;
  readonly offset: number;
  readonly end: number;
  /** Whether the header of the file stood before what is left of it. */
  readonly ownHeader: boolean;
}

/** The one machine whose addresses of 32 bits are widened to 64 with their sign (MIPS64 architecture; from memory). */
const MIPS = 8;

/** The address of 32 bits that was widened with its sign, or the address itself. */
function withoutSign(address: bigint): bigint {
  return address >= 0xffffffff80000000n ? address - 0xffffffff00000000n : address;
}

/** What of `segments` lies in the file and in the memory. What does not is told. */
function placed(
  bytes: Uint8Array,
  segments: readonly ElfSegment[],
  { physical, header }: { readonly physical: boolean; readonly header: ElfHeader },
  findings: Finding[],
): PlacedSegment[] {
  const kept: PlacedSegment[] = [];
  const size = bytes.length;
  let total = 0;
  for (const { index, offset: wide, length: wideLength, ...segment } of segments) {
    const stated = physical ? segment.physical : segment.virtual;
    const address = header.machine === MIPS ? withoutSign(stated) : stated;
    const length = Number(wideLength);
    const offset = Number(wide);
    const place = { offset: Math.min(offset, size) };
    if (address + wideLength > BigInt(MEMORY_END)) {
      const facts = { segment: index, offset, length, address: formatWide(address) };
      findings.push(finding("elf/address-too-high", facts, place));
      continue;
    }
    const end = Math.min(offset + length, size);
    if (end < offset + length) {
      findings.push(finding("elf/segment-cut", { segment: index, offset, length, size }, place));
    }
    if (end <= offset) continue;
    total += end - offset;
    if (total > 2 * size) {
      findings.push(finding("elf/content-repeated", { segment: index, total, size }, place));
      break;
    }
    const skipped = Math.max(0, Math.min(end, headEnd(header)) - offset);
    kept.push({ address: Number(address) + skipped, offset: offset + skipped, end, ownHeader: skipped > 0 });
  }
  return kept;
}

function nothing(findings: readonly Finding[]): Decoded {
  return { format: "elf", image: Image.empty, findings, originOf: () => undefined };
}

/** An address of 64 bits, which may lie above what can be described. */
function formatWide(address: bigint): string {
  return `0x${address.toString(16).toUpperCase().padStart(16, "0")}`;
}
