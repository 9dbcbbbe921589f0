import type { ByteOrder } from "../bytes/word.js";
import type { Ground } from "./ground.js";

/** How words of the ground are addresses in it: their byte order, and the address of the ground's first byte to them. */
export interface Addressing {
  readonly order: ByteOrder;
  readonly base: number;
  /** So many words of the ground are addresses in it, read like this. */
  readonly words: number;
}

/** The word at `at`, unsigned. */
export function wordAt(content: Uint8Array, at: number, order: ByteOrder): number {
  const [a, b, c, d] = [content[at], content[at + 1], content[at + 2], content[at + 3]] as [
    number,
    number,
    number,
    number,
  ];
  return order === "big" ? a * 2 ** 24 + b * 65536 + c * 256 + d : d * 2 ** 24 + c * 65536 + b * 256 + a;
}

const blockOfBase = 65536;
const mostBases = 3;

/**
 * How words may be meant as addresses, in both orders: from the ground's own address, and from other bases where many
 * more words point than chance would have it.
 */
export function addressingsOf({ address, length, contents }: Ground): Addressing[] {
  const content = contents[0] as Uint8Array;
  const found: Addressing[] = [];
  for (const order of ["big", "little"] as const) {
    const counts = new Map<number, number>();
    let own = 0;
    for (let at = (4 - (address % 4)) % 4; at + 4 <= length; at += 4) {
      const word = wordAt(content, at, order);
      if (word === 0 || word === 0xffffffff) continue;
      if (word >= address && word <= address + length) own++;
      const block = Math.floor(word / blockOfBase);
      counts.set(block, (counts.get(block) ?? 0) + 1);
    }
    found.push({ order, base: address, words: own });
    if (address !== 0) found.push({ order, base: 0, words: 0 });
    found.push(...otherBases(counts, address, length, order));
  }
  return found;
}

/** Bases at which a window as large as the ground holds many words; the blocks of plain small numbers are no evidence. */
function otherBases(
  counts: ReadonlyMap<number, number>,
  address: number,
  length: number,
  order: ByteOrder,
): Addressing[] {
  const blocks = Math.ceil(length / blockOfBase);
  const aligned = 2 ** Math.ceil(Math.log2(blocks));
  const windows = new Map<number, number>();
  for (const [block, count] of counts) {
    const first = Math.floor(block / aligned) * aligned;
    windows.set(first, (windows.get(first) ?? 0) + count);
  }
  return [...windows]
    .filter(([first, count]) => first > 0 && first < 65535 - aligned && count >= 8 && first * blockOfBase !== address)
    .sort(([, a], [, b]) => b - a)
    .slice(0, mostBases)
    .map(([first, words]) => ({ order, base: first * blockOfBase, words }));
}

/** Offsets that pairs of neighbouring words point at, each less than or one past what the pair bounds. */
export function pointedAt(ground: Ground): number[] {
  const content = ground.contents[0] as Uint8Array;
  const targets = new Set<number>();
  for (const { order, base } of addressingsOf(ground)) {
    let before: number | undefined;
    for (let at = (4 - (ground.address % 4)) % 4; at + 4 <= ground.length && targets.size < 600; at += 4) {
      const offset = wordAt(content, at, order) - base;
      const inside = offset >= 0 && offset <= ground.length;
      // A single word that happens to point somewhere is as common as sand; two in a row that bound a range are not.
      if (inside && before !== undefined && offset - before >= 63) {
        targets.add(before);
        targets.add(offset);
        if (offset % 4 === 3) targets.add(offset + 1);
      }
      before = inside ? offset : undefined;
    }
  }
  return [...targets].filter((offset) => offset <= ground.length);
}
