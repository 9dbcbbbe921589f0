import { type Algorithm, algorithmNames, algorithmOf } from "../algorithms/algorithm.js";
import { overlap, type Span } from "../bytes/span.js";
import { readBigUint } from "../bytes/word.js";
import { CERTAIN_BELOW, certaintyOf } from "../discover/chance.js";
import { placesOfValue, possibleOf } from "../discover/place-of-value.js";
import type { FoundChecksum } from "../discover/result.js";
import { type Family, type Stretch, shortestErased } from "./family.js";
import { countIn } from "./runs.js";
import type { Variation } from "./variation.js";
import { lonelyPlaces } from "./whole-sums.js";

/**
 * Checksums whose value stands alone at the end of a block of erased memory, anywhere in their range. How bytes vary
 * between reads tells such places, and there are few: so every range of blocks around each of them is tried.
 */

const blockStep = 256;
const furthest = 16384;
const mostPlaces = 32;
const fewestBytes = 16;

export function lonelyValues(
  family: Family,
  variations: readonly Variation[],
  known: readonly { readonly storedAt: Span; readonly hull: Span }[],
): FoundChecksum[] {
  return variations.flatMap((variation, i) => {
    const stretch = family.stretches[i] as Stretch;
    const whole = { start: variation.start, end: variation.end };
    const places = [2, 4, 1]
      .flatMap((bytes) => lonelyPlaces(variation, whole, bytes).map((at) => ({ start: at, end: at + bytes })))
      .filter((place) => !known.some(({ storedAt }) => overlap(storedAt, place)))
      .slice(0, mostPlaces);
    const tries = places.map((place) => ({ place, ranges: rangesAround(variation, place, known) }));
    const hypotheses = 4 * algorithms().length * tries.reduce((sum, { ranges }) => sum + ranges.length, 0);
    return tries.flatMap(({ place, ranges }) => bestAt(stretch, variation, place, ranges, hypotheses) ?? []);
  });
}

let all: readonly Algorithm[] | undefined;

/** Every algorithm of 8, 16 or 32 bits. */
function algorithms(): readonly Algorithm[] {
  all ??= algorithmNames()
    .map((name) => algorithmOf(name))
    .filter(({ width, kind }) => (width === 8 || width === 16 || width === 32) && kind !== "hash");
  return all;
}

/** Ranges from block to block that hold `place` and cross nothing that is known. */
function rangesAround(variation: Variation, place: Span, known: readonly { readonly hull: Span }[]): Span[] {
  const low = Math.max(variation.start, ...known.map(({ hull }) => (hull.end <= place.start ? hull.end : 0)));
  const high = Math.min(
    variation.end,
    ...known.map(({ hull }) => (hull.start >= place.end ? hull.start : variation.end)),
  );
  const ranges: Span[] = [];
  const first = Math.max(low, Math.ceil((place.end - furthest) / blockStep) * blockStep);
  for (let start = first; start <= place.start; start += blockStep - (start % blockStep)) {
    if (!begins(variation, start)) continue;
    for (let end = place.end; end <= Math.min(high, start + furthest); end += blockStep) {
      if (ends(variation, end)) ranges.push({ start, end });
    }
  }
  return ranges;
}

/** Nobody begins a range in the midst of erased memory, nor ends one where more content follows without a break. */
function begins(variation: Variation, at: number): boolean {
  return at < variation.end && !variation.isErased(at);
}

function ends(variation: Variation, at: number): boolean {
  if (at >= variation.end || at % 1024 === 0) return true;
  for (let back = 1; back <= shortestErased; back++) if (!variation.isErased(at - back)) return back <= 4;
  return true;
}

/** The explanation of the value at `place` that chance is least likely to bring, over the shortest range. */
function bestAt(
  { contents }: Stretch,
  variation: Variation,
  place: Span,
  ranges: readonly Span[],
  hypotheses: number,
): FoundChecksum | undefined {
  const bytes = place.end - place.start;
  const width = 8 * bytes;
  const part = (content: Uint8Array, span: Span) =>
    content.subarray(span.start - variation.start, span.end - variation.start);
  const stored = contents.map((content) => part(content, place));
  const found: (FoundChecksum & { readonly bytes: number })[] = [];
  const before = varyingBefore(variation);
  const varyingIn = ({ start, end }: Span) => `${before[start - variation.start]} ${before[end - variation.start]}`;
  for (const range of ranges) {
    const parts = [
      { start: range.start, end: place.start },
      { start: place.end, end: range.end },
    ].filter(({ start, end }) => end > start);
    const written = countIn(range, (address) => !variation.isErased(address));
    if (written < fewestBytes + bytes) continue;
    const different = distinct(contents.map((content) => part(content, range)));
    // Ranges with the same varying bytes in them stand or fall together but for what is the same in all reads.
    const alike = ranges.filter((other) => other !== range && varyingIn(other) === varyingIn(range)).length;
    const expectedByChance = hypotheses * 2 ** -(width * different) + alike * 2 ** -width;
    if (certaintyOf(expectedByChance) === "chance") continue;
    for (const algorithm of algorithms()) {
      if (algorithm.width !== width || parts.some(({ start, end }) => (end - start) % algorithm.multipleOf !== 0))
        continue;
      const valueIn = (content: Uint8Array) => {
        const running = algorithm.start();
        for (const span of parts) running.update(part(content, span));
        return running.value();
      };
      const values: bigint[] = [];
      for (const form of forms) {
        for (const order of bytes === 1 ? (["big"] as const) : (["big", "little"] as const)) {
          const holds = stored.every((own, i) => {
            values[i] ??= valueIn(contents[i] as Uint8Array);
            return readBigUint(own, order) === asStored(values[i] as bigint, form, width);
          });
          if (!holds) continue;
          found.push({
            algorithm: algorithm.name,
            ranges: parts.map(({ start, end }) => ({ start, length: end - start })),
            stored: {
              start: place.start,
              width,
              order,
              form,
              ...placeIn(contents, variation.start, range, algorithm, bytes),
            },
            certainty: certaintyOf(expectedByChance),
            expectedByChance,
            readsToSettle: expectedByChance < CERTAIN_BELOW ? 0 : 1,
            bytes: range.end - range.start,
          });
        }
      }
    }
  }
  // Two algorithms that are each other's complement both hold: it is the one whose value stands there as it is.
  const turned = ({ stored: { form } }: FoundChecksum) => (form === "value" ? 0 : 1);
  const [best] = found.sort(
    (a, b) => a.expectedByChance - b.expectedByChance || a.bytes - b.bytes || turned(a) - turned(b),
  );
  if (!best) return undefined;
  const { bytes: _, ...checksum } = best;
  return checksum;
}

/** Whether the value is told from other words of `range`: not where all of it comes to a plain constant in any case. */
function placeIn(
  contents: readonly Uint8Array[],
  address: number,
  { start, end }: Span,
  algorithm: Algorithm,
  bytes: number,
): Pick<FoundChecksum["stored"], "place" | "possible"> {
  const [from, to] = [start - address, end - address];
  const wholes = contents.map((content) => {
    const running = algorithm.start();
    running.update(content.subarray(from, to));
    return running.value();
  });
  const ones = (1n << BigInt(algorithm.width)) - 1n;
  const closed = (to - from) % algorithm.multipleOf === 0 && wholes.every((whole) => whole === wholes[0]);
  if (!closed || (wholes[0] !== 0n && wholes[0] !== ones)) return { place: "told" };
  return { place: "not-told", possible: possibleOf(placesOfValue(contents, from, to, bytes), address) };
}

/** How many bytes before each address of a stretch are not the same in all reads. */
function varyingBefore(variation: Variation): Uint32Array {
  const counts = new Uint32Array(variation.end - variation.start + 1);
  for (let i = 0; i + 1 < counts.length; i++) {
    counts[i + 1] = (counts[i] as number) + (variation.at(variation.start + i) === "constant" ? 0 : 1);
  }
  return counts;
}

const forms = ["value", "complement", "negated"] as const;

function asStored(value: bigint, form: (typeof forms)[number], width: number): bigint {
  const mask = (1n << BigInt(width)) - 1n;
  return form === "value" ? value : form === "complement" ? ~value & mask : -value & mask;
}

/** How many of the contents differ from all before them, in more than a value and its cause. */
function distinct(contents: readonly Uint8Array[]): number {
  const kept: Uint8Array[] = [];
  for (const content of contents) if (kept.every((other) => differing(other, content) > 4)) kept.push(content);
  return kept.length;
}

function differing(a: Uint8Array, b: Uint8Array): number {
  let count = 0;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) count++;
  return count;
}
