import { lengthOf, type Span } from "../bytes/span.js";

/** Two units of a machine, byte for byte over the same addresses. */
export interface Twins {
  readonly left: Uint8Array;
  readonly right: Uint8Array;
}

/** How the right unit follows from the left one over a run of addresses, in every pair. Places are offsets. */
export type Relation =
  | { readonly kind: "complement"; readonly over: Span }
  | { readonly kind: "exchanged"; readonly over: Span; readonly with: Span }
  | { readonly kind: "reordered"; readonly over: Span; readonly element: number; readonly order: readonly number[] };

/** A relation that chance would bring less often than once in two to the power of this is taken for one. */
const tellingBits = 12;
/** What a byte that agrees proves: those of tables and flags are far from random. */
const bitsPerByte = 3;
const furthest = 1024;
const elementSizes = [64, 32, 24, 16, 12, 8, 6, 4, 3, 2, 1];
const mostElements = 64;
const mostClusters = 200;
const mostRelations = 64;
/** Differing bytes further apart than this are never of one relation of order. */
const widest = 64;

/**
 * Relations that hold in all of `twins` (each pair once, `left` and `right` of one length) and account for bytes of
 * `differing`, offsets in ascending order. Those that account for more come first; no byte is accounted for twice.
 */
export function relationsIn(twins: readonly Twins[], differing: readonly number[]): Relation[] {
  if (twins.length === 0 || differing.length === 0) return [];
  const open = new Set(differing);
  const relations: Relation[] = [];
  const take = (relation: Relation | undefined, bytes: Iterable<number>) => {
    if (!relation) return;
    relations.push(relation);
    for (const at of bytes) open.delete(at);
  };
  while (relations.length < mostRelations) {
    const best = bestOf([...exchanges(twins, open), ...orders(twins, open)]);
    if (!best) break;
    take(best.relation, best.bytes);
  }
  for (const run of clusters([...open], 1)) {
    const bytes = [...open].filter((at) => at >= run.start && at < run.end);
    const all = twins.every(({ left, right }) =>
      bytes.every((at) => (left[at] as number) + (right[at] as number) === 255),
    );
    const values = new Set(twins.flatMap(({ left }) => bytes.map((at) => left[at])));
    // The complement of one value that never changes is two values, one on each side.
    if (all && 8 * values.size >= 16) take({ kind: "complement", over: run }, bytes);
  }
  return relations;
}

interface Candidate {
  readonly relation: Relation;
  readonly bytes: readonly number[];
  readonly bits: number;
}

function bestOf(candidates: readonly Candidate[]): Candidate | undefined {
  return candidates
    .filter(({ bits }) => bits >= tellingBits)
    .sort((a, b) => plainness(b) - plainness(a) || b.bytes.length - a.bytes.length || b.bits - a.bits)[0];
}

/** An order that can be said in a word, as all from last to first, comes before one that has to be listed. */
function plainness({ relation }: Candidate): number {
  if (relation.kind !== "reordered") return 1;
  const { order } = relation;
  const last = order.length - 1;
  const turns = order.map((from, to) => (from - to + order.length) % order.length);
  const reversed = order.every((from, to) => from === last - to);
  return reversed || turns.every((turn) => turn === turns[0]) ? 1 : 0;
}

/** What distinct contents prove: the same content in two machines proves once. */
function proof(twins: readonly Twins[], bytes: readonly number[]): number {
  const seen = new Set<string>();
  let bits = 0;
  for (const { left } of twins) {
    const key = bytes.map((at) => left[at]).join();
    if (seen.has(key)) continue;
    seen.add(key);
    bits += bitsPerByte * bytes.length;
  }
  return bits;
}

/** Runs that stand in the other unit at another place, which the other holds here. */
function* exchanges(twins: readonly Twins[], open: ReadonlySet<number>): Generator<Candidate> {
  const offsets = [...open].sort((a, b) => a - b);
  const length = twins[0]?.left.length ?? 0;
  const swapped = (at: number, by: number) =>
    twins.every(({ left, right }) => right[at] === left[at + by] && right[at + by] === left[at]);
  const shifts = new Map<number, number>();
  for (const [i, at] of offsets.entries()) {
    for (let k = i + 1; k < offsets.length && k < i + 200; k++) {
      const by = (offsets[k] as number) - at;
      if (by > furthest) break;
      if (swapped(at, by)) shifts.set(by, (shifts.get(by) ?? 0) + 1);
    }
  }
  for (const [by, count] of shifts) {
    if (count < 2) continue;
    for (let i = 0; i < offsets.length; i++) {
      let start = offsets[i] as number;
      if (!swapped(start, by) || (i > 0 && (offsets[i - 1] as number) >= start - 1 && swapped(start - 1, by))) continue;
      let end = start + 1;
      while (end - start < by && end + by < length && swapped(end, by)) end++;
      // Ends that differ in no pair may belong to it or not: it is taken as far as it makes a round number of bytes.
      while (end > start && !open.has(end - 1) && !open.has(end - 1 + by)) end--;
      const round = 2 ** Math.ceil(Math.log2(end - start));
      while (end - start < Math.min(round, by) && start > 0 && start % round !== 0 && swapped(start - 1, by)) start--;
      while (end - start < Math.min(round, by) && end + by < length && swapped(end, by)) end++;
      const bytes = offsets.filter((at) => (at >= start && at < end) || (at >= start + by && at < end + by));
      const here = bytes.filter((at) => at < end);
      yield {
        relation: { kind: "exchanged", over: { start, end }, with: { start: start + by, end: end + by } },
        bytes,
        bits: 2 * proof(twins, here) - Math.log2(furthest * offsets.length),
      };
    }
  }
}

/** Sums over the bytes before each offset, each byte value with a weight of its own: two runs of the same bytes agree. */
class Tally {
  readonly #sums: Uint32Array;

  constructor(bytes: Uint8Array) {
    this.#sums = new Uint32Array(bytes.length + 1);
    for (let i = 0; i < bytes.length; i++) {
      const byte = bytes[i] as number;
      this.#sums[i + 1] = (this.#sums[i] as number) + Math.imul(byte + 1, 0x9e3779b1 + Math.imul(byte, 0x85ebca6b));
    }
  }

  of(start: number, end: number): number {
    return ((this.#sums[end] as number) - (this.#sums[start] as number)) >>> 0;
  }
}

/** Runs of elements of equal size that are the same in both units, in another order. */
function* orders(twins: readonly Twins[], open: ReadonlySet<number>): Generator<Candidate> {
  const offsets = [...open].sort((a, b) => a - b);
  const fine = clusters(offsets, 8).slice(0, mostClusters);
  const length = twins[0]?.left.length ?? 0;
  const tallies = twins.map(({ left, right }) => [new Tally(left), new Tally(right)] as const);
  const sameBytes = (start: number, end: number) =>
    tallies.every(([left, right]) => left.of(start, end) === right.of(start, end));
  for (const [i, first] of fine.entries()) {
    let last = first;
    for (let k = i; k < Math.min(fine.length, i + 40); k++) {
      const next = fine[k] as Span;
      if (k > i && next.start - last.end > widest) break;
      last = next;
      const hull = { start: first.start, end: last.end };
      for (const element of elementSizes) {
        if (lengthOf(hull) > element * mostElements || lengthOf(hull) <= 2 * element) continue;
        for (let back = 0; back < element && hull.start - back >= 0; back++) {
          const start = hull.start - back;
          const count = Math.ceil((hull.end - start) / element);
          const end = start + count * element;
          if (count < 3 || count > mostElements || end > length || start % Math.min(element & -element, 4) !== 0)
            continue;
          if (!sameBytes(start, end)) continue;
          const order = orderOf(twins, start, element, count);
          if (!order) continue;
          const bytes = offsets.filter((at) => at >= start && at < end);
          const moved = order.filter((from, to) => from !== to).length;
          yield {
            relation: { kind: "reordered", over: { start, end }, element, order },
            bytes,
            bits: proof(twins, bytes) - log2Factorial(moved) - Math.log2(elementSizes.length * 64),
          };
        }
      }
    }
  }
}

/** Where each element of the right unit stands in the left one, the same in every pair. */
function orderOf(twins: readonly Twins[], start: number, element: number, count: number): number[] | undefined {
  const key = (side: "left" | "right", k: number) =>
    twins.map((pair) => pair[side].subarray(start + k * element, start + (k + 1) * element).join()).join("/");
  const places = new Map<string, number[]>();
  for (let k = 0; k < count; k++) {
    const name = key("left", k);
    places.set(name, [...(places.get(name) ?? []), k]);
  }
  const order: number[] = [];
  for (let k = 0; k < count; k++) {
    const there = places.get(key("right", k));
    if (!there || there.length === 0) return undefined;
    const own = there.indexOf(k);
    order.push(there.splice(Math.max(own, 0), 1)[0] as number);
  }
  return order;
}

function log2Factorial(count: number): number {
  let bits = 0;
  for (let i = 2; i <= count; i++) bits += Math.log2(i);
  return bits;
}

/** Runs of `offsets` with at most `apart` between two of them. */
export function clusters(offsets: readonly number[], apart: number): Span[] {
  const runs: { start: number; end: number }[] = [];
  for (const at of [...offsets].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last && at - last.end < apart) last.end = at + 1;
    else runs.push({ start: at, end: at + 1 });
  }
  return runs;
}
