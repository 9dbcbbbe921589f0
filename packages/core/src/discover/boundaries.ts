import type { Ground } from "./ground.js";

/** Offsets at which ranges may begin or end, in ascending order, and how unusual each of them would be there. */
export interface Boundaries {
  readonly offsets: Int32Array;
  readonly starts: Sides;
  readonly ends: Sides;
}

/** What an offset is as a start, or as an end. */
export interface Sides {
  /** Minus the logarithm to base 2 of the share of the belief that a range begins, or ends, there. Infinite: it does not. */
  readonly bits: Float32Array;
  /** The row of `blocks` that it is a multiple of, the largest. */
  readonly block: Uint8Array;
  /** What of those bits is for standing a value's size inside of a boundary. */
  readonly aside: Float32Array;
}

/**
 * Sizes of blocks, each with what it costs in bits that one end of a range is a multiple of it, and that both are,
 * besides the logarithm of how many there are. As shares of the belief the costs of all kinds add up to one.
 */
export const blocks: readonly { readonly size: number; readonly one: number; readonly both: number }[] = [
  { size: 1, one: 8, both: 6 },
  { size: 2, one: 7, both: 6 },
  { size: 4, one: 4.5, both: 3.5 },
  { size: 16, one: 4.5, both: 3.5 },
  { size: 256, one: 4, both: 2 },
  { size: 1024, one: 5, both: 4 },
  { size: 4096, one: 4, both: 2.5 },
  { size: 16384, one: 4.5, both: 4.5 },
  { size: 65536, one: 3.5, both: 2.5 },
];
const cost = { ground: 1, edge: 3.5, target: 6, header: 6, known: 2 } as const;
/** A range may stand as far inside a boundary as its value takes, or value and complement. */
export const asides = { none: 0.75, value: 2.25, both: 3.75 } as const;

/** More blocks than this are not looked at for themselves: then larger ones are. */
const mostBlocks = 2048;
const mostOfStructure = 6000;

/** What the content shows: where it meets fill, and where its own words point. */
export interface Seen {
  readonly edges: { readonly starts: readonly number[]; readonly ends: readonly number[] };
  readonly targets: readonly number[];
}

interface Side {
  bits: number;
  block: number;
  aside: number;
}

/**
 * What the content shows as boundaries, and multiples of a block size. A value of `bytes` may stand inside of each.
 * `known` are offsets where ranges begin or end that are established.
 */
export function structureOf(ground: Ground, bytes: number, seen: Seen, known: readonly number[] = []): Boundaries {
  const { length } = ground;
  const starts = new Map<number, Side>();
  const ends = new Map<number, Side>();
  const blockOf = blockAt(ground);
  const least = (sides: Map<number, Side>, offset: number, bits: number, block: number, aside: number) => {
    if (offset < 0 || offset > length) return;
    const there = sides.get(offset);
    if (!there) sides.set(offset, { bits: bits + aside, block, aside });
    else {
      if (bits + aside < there.bits) there.bits = bits + aside;
      if (block > there.block) Object.assign(there, { block, aside });
    }
  };
  const add = (offset: number, startBits: number, endBits: number) => {
    const block = blockOf(offset);
    least(starts, offset, startBits, block, asides.none);
    least(ends, offset, endBits, block, asides.none);
    // As far inside as a value takes it is multiple of another size; what counts is the boundary that it stands inside of.
    least(starts, offset + bytes, startBits, block, asides.value);
    least(ends, offset - bytes, endBits, block, asides.value);
    least(starts, offset + 2 * bytes, startBits, block, asides.both);
    least(ends, offset - 2 * bytes, endBits, block, asides.both);
  };
  const gridBits = (offset: number) => bitsOfBlock(ground, blockOf(offset));
  add(0, cost.ground, gridBits(0));
  add(length, gridBits(length), cost.ground);
  const { edges, targets } = seen;
  const edgeBits = cost.edge + Math.log2(Math.max(1, edges.starts.length));
  for (const offset of edges.starts) add(offset, edgeBits, edgeBits + 3);
  for (const offset of edges.ends) add(offset, edgeBits + 3, edgeBits);
  const targetBits = cost.target + Math.log2(Math.max(1, targets.length));
  for (const offset of targets) add(offset, targetBits, targetBits);
  for (let size = 16; size <= 4096 && size < length; size *= 2) add(size, cost.header + 3, gridBits(size));
  for (const offset of known) add(offset, cost.known + Math.log2(known.length), cost.known + Math.log2(known.length));
  const spacing = 2 ** Math.max(8, Math.ceil(Math.log2(length / mostBlocks)));
  for (let offset = (spacing - (ground.address % spacing)) % spacing; offset <= length; offset += spacing) {
    add(offset, gridBits(offset), gridBits(offset));
  }
  return sorted(starts, ends);
}

/** The boundaries of structure and every `step` bytes: addresses that are multiples of it. */
export function everyStep(ground: Ground, structure: Boundaries, step: number): Boundaries {
  const { offsets: fixed } = structure;
  const first = (step - (ground.address % step)) % step;
  const all = new Int32Array(Math.max(0, Math.floor((ground.length - first) / step) + 1) + fixed.length);
  const from = new Int32Array(all.length).fill(-1);
  let count = 0;
  let next = 0;
  for (let offset = first; offset <= ground.length; offset += step) {
    for (; next < fixed.length && (fixed[next] as number) <= offset; next++) {
      all[count] = fixed[next] as number;
      from[count++] = next;
    }
    if (count === 0 || all[count - 1] !== offset) all[count++] = offset;
  }
  for (; next < fixed.length; next++) {
    all[count] = fixed[next] as number;
    from[count++] = next;
  }
  const offsets = all.subarray(0, count);
  const blockOf = blockAt(ground);
  const bitsOf = blocks.map((_, block) => bitsOfBlock(ground, block) + asides.none);
  const sides = (known: Sides): Sides => {
    const made = { bits: new Float32Array(count), block: new Uint8Array(count), aside: new Float32Array(count) };
    for (let i = 0; i < count; i++) {
      const there = from[i] as number;
      const block = blockOf(offsets[i] as number);
      const bits = bitsOf[block] as number;
      const usual = there >= 0 && (known.bits[there] as number) < bits;
      made.bits[i] = usual ? (known.bits[there] as number) : bits;
      made.block[i] = usual ? (known.block[there] as number) : block;
      made.aside[i] = usual ? (known.aside[there] as number) : asides.none;
    }
    return made;
  };
  return { offsets, starts: sides(structure.starts), ends: sides(structure.ends) };
}

/** Only those at addresses that are multiples of `multiple`. */
export function aligned({ address }: Ground, boundaries: Boundaries, multiple: number): Boundaries {
  if (multiple === 1) return boundaries;
  const kept = boundaries.offsets
    .map((offset, i) => ((address + offset) % multiple === 0 ? i : -1))
    .filter((i) => i >= 0);
  const sides = ({ bits, block, aside }: Sides): Sides => ({
    bits: Float32Array.from(kept, (i) => bits[i] as number),
    block: Uint8Array.from(kept, (i) => block[i] as number),
    aside: Float32Array.from(kept, (i) => aside[i] as number),
  });
  return {
    offsets: Int32Array.from(kept, (i) => boundaries.offsets[i] as number),
    starts: sides(boundaries.starts),
    ends: sides(boundaries.ends),
  };
}

/** The indices of at most so many boundaries, those of fewest bits, in ascending order. */
export function usualFirst(bits: Float32Array, most: number): Int32Array {
  const all = indicesOf(bits).filter((i) => bits[i] !== Number.POSITIVE_INFINITY);
  return sortedBy(all, bits).subarray(0, most).sort();
}

/** `indices` with those of fewest bits first, and of equal bits in the order that they are given in: few values are different. */
export function sortedBy(indices: Int32Array, bits: Float32Array): Int32Array {
  const counts = new Map<number, number>();
  for (const i of indices) {
    const each = bits[i] as number;
    counts.set(each, (counts.get(each) ?? 0) + 1);
  }
  const next = new Map<number, number>();
  let sum = 0;
  for (const each of Float64Array.from(counts.keys()).sort()) {
    next.set(each, sum);
    sum += counts.get(each) as number;
  }
  const sorted = new Int32Array(indices.length);
  for (const i of indices) {
    const at = next.get(bits[i] as number) as number;
    sorted[at] = i;
    next.set(bits[i] as number, at + 1);
  }
  return sorted;
}

/** The indices from 0 on. */
export function indicesOf({ length }: { readonly length: number }): Int32Array {
  const all = new Int32Array(length);
  for (let i = 0; i < length; i++) all[i] = i;
  return all;
}

/** How unusual a range is, and which kind of range that was said of. */
export interface RangeCost {
  readonly bits: number;
  /** What of it is paid for the kind alone: once that is known, a range of the same kind costs so much less. */
  readonly kindBits: number;
  readonly kind: string;
}

/** How unusual the range from one boundary to another is: as two ends each for itself, or as two ends of one kind. */
export function costOfRange(ground: Ground, boundaries: Boundaries, start: number, end: number): RangeCost {
  const { starts, ends } = boundaries;
  const apart = bitsApart(boundaries, start, end);
  const together = bitsTogether(ground, boundaries, start, end);
  if (apart < together) return { bits: apart, kindBits: 0, kind: "apart" };
  const block = Math.min(starts.block[start] as number, ends.block[end] as number);
  const aside = (starts.aside[start] as number) + (ends.aside[end] as number);
  const { size, both } = blocks[block] as (typeof blocks)[number];
  const kind = `${size}/${starts.aside[start]}/${ends.aside[end]}`;
  return { bits: together, kindBits: both + aside - 1, kind };
}

/** The bits that `costOfRange` gives, and nothing else. */
export function bitsOfRange(ground: Ground, boundaries: Boundaries, start: number, end: number): number {
  return Math.min(bitsApart(boundaries, start, end), bitsTogether(ground, boundaries, start, end));
}

function bitsApart({ starts, ends }: Boundaries, start: number, end: number): number {
  return 1 + (starts.bits[start] as number) + (ends.bits[end] as number);
}

function bitsTogether({ length }: Ground, { starts, ends }: Boundaries, start: number, end: number): number {
  const block = Math.min(starts.block[start] as number, ends.block[end] as number);
  const { both } = blocks[block] as (typeof blocks)[number];
  return both + (starts.aside[start] as number) + (ends.aside[end] as number) + (bitsOfPairs(length)[block] as number);
}

/** The least that any range with each boundary as its start, or as its end, costs. */
export function leastBitsOf(ground: Ground, boundaries: Boundaries, side: "starts" | "ends"): Float32Array {
  const { bits, block, aside } = boundaries[side];
  const other = boundaries[side === "starts" ? "ends" : "starts"].bits;
  let cheapest = Number.POSITIVE_INFINITY;
  for (const each of other) cheapest = Math.min(cheapest, each);
  const pairs = bitsOfPairs(ground.length);
  // Ends of one kind count as multiples of the smaller block.
  const together = blocks.map((_, largest) =>
    Math.min(...blocks.slice(0, largest + 1).map(({ both }, i) => both + (pairs[i] as number))),
  );
  return bits.map((each, i) =>
    Math.min(1 + each + cheapest, (together[block[i] as number] as number) + (aside[i] as number) + asides.none),
  );
}

let pairs: { readonly length: number; readonly bits: Float64Array } = { length: 0, bits: new Float64Array() };

/** For each block size the logarithm of how many pairs of its multiples there are in so many bytes. */
function bitsOfPairs(length: number): Float64Array {
  if (pairs.length !== length) {
    // Half of the pairs have their ends the other way round, and half of the belief is with `apart`: that cancels out.
    const bits = Float64Array.from(blocks, ({ size }) => 2 * Math.log2(Math.max(2, length / size + 1)));
    pairs = { length, bits };
  }
  return pairs.bits;
}

function bitsOfBlock({ length }: Ground, block: number): number {
  const { size, one } = blocks[block] as (typeof blocks)[number];
  return one + Math.log2(Math.max(2, length / size));
}

/** For each count of zeros that a number ends with, the largest block size that it is a multiple of. */
const blockOfZeros = Uint8Array.from({ length: 33 }, (_, zeros) => {
  return blocks.findLastIndex(({ size }) => size <= 2 ** zeros);
});

/** The largest block size that an offset is a multiple of, by its address. */
function blockAt({ address }: Ground): (offset: number) => number {
  return (offset) => {
    const at = (address + offset) | 0;
    return blockOfZeros[at === 0 ? 32 : 31 - Math.clz32(at & -at)] as number;
  };
}

function sorted(starts: ReadonlyMap<number, Side>, ends: ReadonlyMap<number, Side>): Boundaries {
  let all = [...new Set([...starts.keys(), ...ends.keys()])];
  if (all.length > mostOfStructure) {
    const bits = (offset: number) => Math.min(starts.get(offset)?.bits ?? 99, ends.get(offset)?.bits ?? 99);
    all = all.sort((a, b) => bits(a) - bits(b)).slice(0, mostOfStructure);
  }
  const offsets = Int32Array.from(all).sort();
  const sides = (known: ReadonlyMap<number, Side>): Sides => ({
    bits: Float32Array.from(offsets, (offset) => known.get(offset)?.bits ?? Number.POSITIVE_INFINITY),
    block: Uint8Array.from(offsets, (offset) => known.get(offset)?.block ?? 0),
    aside: Float32Array.from(offsets, (offset) => known.get(offset)?.aside ?? asides.both),
  });
  return { offsets, starts: sides(starts), ends: sides(ends) };
}
