import { formatAddress } from "../bytes/hex.js";
import { MEMORY_END } from "../bytes/span.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Decoded } from "./decoded.js";
import { FilePieces } from "./file-pieces.js";

/**
 * Blocks of UF2 (USB Flashing Format; its published description, from memory): 512 bytes, little-endian, a header of
 * 32 bytes, up to 476 bytes of data, and a mark at the end.
 */
const BLOCK = 512;
const LARGEST_PAYLOAD = 476;
const DATA = 32;
export const UF2_MARK = 0x0a324655; // "UF2\n"
const SECOND_MARK = 0x9e5d5157;
const END_MARK = 0x0ab16f30;

/** The flags of a block, each a power of two. */
const flags = { notForMemory: 0x1, file: 0x1000, family: 0x2000, digest: 0x4000 } as const;

/** Damaged blocks that are told one by one. The others are counted. */
const DAMAGE_SHOWN = 100;

/** The blocks of one family, as they count themselves. */
interface Sequence {
  readonly stated: number;
  readonly seen: Set<number>;
  other: { readonly stated: number; readonly block: number } | undefined;
}

/** The image that a UF2 file describes. A damaged block is told of and left out, and reading goes on after it. */
export function decodeUf2(bytes: Uint8Array): Decoded {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const blocks = Math.floor(bytes.length / BLOCK);
  const pieces = new FilePieces(blocks * LARGEST_PAYLOAD, true);
  const damage: Finding[] = [];
  const sequences = new Map<string, Sequence>();
  const passed = { count: 0, first: 0 };
  const files = { count: 0, first: 0 };
  let digests = 0;
  for (let block = 0; block < blocks; block++) {
    const at = block * BLOCK;
    const word = (index: number) => view.getUint32(at + 4 * index, true);
    const wrong = blockDamage(word, block);
    if (wrong) {
      damage.push(wrong);
      continue;
    }
    const set = (flag: number) => Math.floor(word(2) / flag) % 2 === 1;
    if (set(flags.notForMemory)) {
      if (passed.count++ === 0) passed.first = block;
      continue;
    }
    countBlock(sequences, set(flags.family) ? `family ${hex(word(7))}` : "no family", word(5), word(6), block);
    if (set(flags.digest)) digests++;
    if (set(flags.file)) {
      if (files.count++ === 0) files.first = block;
      continue;
    }
    const [address, length] = [word(3), word(4)];
    const offset = at + DATA;
    if (address + length > MEMORY_END) {
      damage.push(finding("uf2/address-overflow", { block, address, length }, { offset: at }));
    } else pieces.add(address, bytes.subarray(offset, offset + length), { offset });
  }
  const { image, findings, originOf } = pieces.build();
  const rest = bytes.length - blocks * BLOCK;
  const families = [...sequences.keys()];
  return {
    format: "uf2",
    image,
    findings: [
      ...limited(damage),
      ...(rest > 0 ? [finding("uf2/file-cut", { blocks, rest }, { offset: blocks * BLOCK })] : []),
      ...sequenceFindings(sequences),
      ...(families.length > 1 ? [finding("uf2/families-mixed", { families })] : []),
      ...(files.count > 0 ? [finding("uf2/files-passed-over", files, { offset: files.first * BLOCK })] : []),
      ...(passed.count > 0 ? [finding("uf2/blocks-passed-over", passed, { offset: passed.first * BLOCK })] : []),
      ...(digests > 0 ? [finding("uf2/digests-unread", { count: digests })] : []),
      ...(families.length > 0 ? [finding("uf2/family", { families, blocks })] : []),
      ...findings,
      ...(image.length === 0 ? [finding("file/empty", { format: "uf2" })] : []),
    ],
    originOf,
  };
}

const hex = (value: number) => `0x${value.toString(16).toUpperCase().padStart(8, "0")}`;

function blockDamage(word: (index: number) => number, block: number): Finding | undefined {
  const marks = [
    ["first mark", 0, UF2_MARK],
    ["second mark", 1, SECOND_MARK],
    ["end mark", 127, END_MARK],
  ] as const;
  const place = { offset: block * BLOCK };
  for (const [field, index, mark] of marks) {
    if (word(index) !== mark) {
      const facts = { block, field, expected: formatAddress(mark), got: formatAddress(word(index)) };
      return finding("uf2/block-damaged", facts, place);
    }
  }
  const limits = [
    ["number of data bytes", 4, 0, LARGEST_PAYLOAD],
    ["number of blocks", 6, 1, 0xffffffff],
    ["block number", 5, 0, word(6) - 1],
  ] as const;
  for (const [field, index, least, most] of limits) {
    const got = word(index);
    if (got < least || got > most) {
      const facts = { block, field, expected: `${least} to ${most}`, got: String(got) };
      return finding("uf2/block-damaged", facts, place);
    }
  }
  return undefined;
}

function countBlock(sequences: Map<string, Sequence>, family: string, number: number, stated: number, block: number) {
  const known = sequences.get(family);
  if (!known) sequences.set(family, { stated, seen: new Set([number]), other: undefined });
  else {
    known.seen.add(number);
    if (known.stated !== stated) known.other ??= { stated, block };
  }
}

function sequenceFindings(sequences: Map<string, Sequence>): Finding[] {
  return limited(
    [...sequences].flatMap(([family, { stated, seen, other }]): Finding[] => {
      if (other) {
        const facts = { family, stated, other: other.stated, block: other.block };
        return [finding("uf2/counts-differ", facts, { offset: other.block * BLOCK })];
      }
      if (seen.size === stated) return [];
      let first = 0;
      while (seen.has(first)) first++;
      return [finding("uf2/blocks-missing", { family, stated, first, missing: stated - seen.size })];
    }),
  );
}

function limited(findings: Finding[]): Finding[] {
  const further = findings.length - DAMAGE_SHOWN;
  if (further <= 0) return findings;
  return [...findings.slice(0, DAMAGE_SHOWN), finding("file/further-damage", { count: further, lastLine: 0 })];
}
