import { algorithmOf } from "../algorithms/algorithm.js";
import { formatValue } from "../bytes/hex.js";
import type { Span } from "../bytes/span.js";
import { CERTAIN_BELOW, certaintyOf, LIKELY_BELOW } from "../discover/chance.js";
import { placesOfValue, possibleOf } from "../discover/place-of-value.js";
import type { FoundChecksum } from "../discover/result.js";
import type { Stretch } from "./family.js";
import type { Variation } from "./variation.js";

/**
 * Sums that make a whole range come to a constant. Erased memory adds the same everywhere, so that the range can be
 * moved over it at will: of all ranges around the same content the one between the roundest addresses is meant.
 */

/** `found`, when it is such a sum, over the roundest range around its content whose constant is a plain one. */
export function roundest(one: FoundChecksum, variation: Variation, contents: readonly Uint8Array[]): FoundChecksum {
  const found = asWhole(one);
  const [range] = found.ranges;
  if (found.stored.form !== "whole-comes-to-constant" || !range || found.ranges.length > 1) return one;
  const own = contentOf(variation, { start: range.start, end: range.start + range.length });
  if (!own) return one;
  const before = lastContent(variation, own.start);
  const after = firstContent(variation, own.end);
  const start = round(before, own.start);
  const end = round(own.end, after);
  const bytes = found.stored.width / 8;
  if ((end - start) % bytes !== 0) return one;
  const [from, to] = [start - variation.start, end - variation.start];
  const constant = sumOf(found.algorithm, (contents[0] as Uint8Array).subarray(from, to));
  if (!isPlain(constant)) return one;
  return {
    ...found,
    ranges: [{ start, length: end - start }],
    stored: { ...found.stored, constant, ...placedIn(contents, variation.start, { start, end }, found.stored) },
  };
}

/**
 * The halves of what a sum covers with its value, when each of them sums up by itself in every read: then the sum of both
 * only follows. Halves are halved again. Undefined when it has no such halves.
 */
export function partsOf(found: FoundChecksum, { start, contents }: Stretch): readonly FoundChecksum[] | undefined {
  const [range] = found.ranges;
  if (!range || found.ranges.length > 1 || found.parameters || algorithmOf(found.algorithm).kind !== "sum")
    return undefined;
  const bytes = found.stored.width / 8;
  const behind = found.stored.start === range.start + range.length ? bytes : 0;
  const whole = { start: range.start, end: range.start + range.length + behind };
  const size = whole.end - whole.start;
  const half = size / 2;
  if (!Number.isInteger(half) || half % bytes !== 0 || half < shortestHalf || whole.start % half !== 0)
    return undefined;
  const middle = whole.start + half;
  const halves = [
    { start: whole.start, end: middle },
    { start: middle, end: whole.end },
  ].map((span) => {
    const parts = contents.map((content) => content.subarray(span.start - start, span.end - start));
    const values = new Set(parts.map((part) => sumOf(found.algorithm, part)));
    const [constant = ""] = values;
    const odds = 2 ** -(found.stored.width * new Set(parts.map((part) => part.join())).size);
    return { span, plain: values.size === 1 && isPlain(constant), constant, odds };
  });
  if (!halves.every(({ plain, odds }) => plain && odds < LIKELY_BELOW)) return undefined;
  return halves.flatMap(({ span, constant, odds }) => {
    const { inside: _, ...stored } = found.stored;
    const one: FoundChecksum = {
      ...found,
      ranges: [{ start: span.start, length: half }],
      stored: {
        ...stored,
        form: "whole-comes-to-constant",
        constant,
        ...placedIn(contents, start, span, { start: span.end - bytes, width: found.stored.width }),
      },
      expectedByChance: odds,
      certainty: certaintyOf(odds),
      readsToSettle: odds < CERTAIN_BELOW ? 0 : 1,
    };
    return partsOf(one, { start, length: 0, contents }) ?? [one];
  });
}

/** Where in `span` a value may stand: where it did if that is possible, or else last of all. */
function placedIn(
  contents: readonly Uint8Array[],
  address: number,
  span: Span,
  { start, width }: Pick<FoundChecksum["stored"], "start" | "width">,
): Pick<FoundChecksum["stored"], "start" | "place" | "possible"> {
  const places = placesOfValue(contents, span.start - address, span.end - address, width / 8);
  const likeliest = places.includes(start - address)
    ? start
    : address + (places.at(-1) ?? span.end - width / 8 - address);
  return { start: likeliest, place: "not-told", possible: possibleOf(places, address) };
}

const shortestHalf = 64;

function sumOf(algorithm: string, bytes: Uint8Array): string {
  const { width, start } = algorithmOf(algorithm);
  const running = start();
  running.update(bytes);
  return formatValue(running.value(), width);
}

/** A sum whose complement, or negative, stands inside of it is one that comes to a constant, wherever in it that stands. */
function asWhole(found: FoundChecksum): FoundChecksum {
  const { stored, algorithm } = found;
  const { inside, form, ...place } = stored;
  if (inside === undefined || found.parameters || algorithmOf(algorithm).kind !== "sum") return found;
  if (form !== "complement" && form !== "negated") return found;
  const constant = form === "negated" ? "0" : "f";
  return {
    ...found,
    stored: { ...place, form: "whole-comes-to-constant", constant: constant.repeat(stored.width / 4) },
  };
}

/** 0, or all ones. */
function isPlain(constant: string): boolean {
  return /^(0+|f+)$/.test(constant);
}

function contentOf(variation: Variation, { start, end }: Span): Span | undefined {
  let [from, to] = [start, end];
  while (from < to && variation.isErased(from)) from++;
  while (to > from && variation.isErased(to - 1)) to--;
  return to > from ? { start: from, end: to } : undefined;
}

/** Just past the last content before `address`. */
function lastContent(variation: Variation, address: number): number {
  let at = address;
  while (at > variation.start && variation.isErased(at - 1)) at--;
  return at;
}

function firstContent(variation: Variation, address: number): number {
  let at = address;
  while (at < variation.end && variation.isErased(at)) at++;
  return at;
}

/** The roundest number from `low` to `high`: the multiple of the largest power of two. */
function round(low: number, high: number): number {
  for (let step = 2 ** 30; step > 1; step /= 2) {
    const multiple = Math.ceil(low / step) * step;
    if (multiple <= high) return multiple;
  }
  return high;
}

/** Where in `range` a value of `bytes` stands alone: at the end of a block, behind erased memory. */
export function lonelyPlaces(variation: Variation, range: Span, bytes: number): number[] {
  const places: number[] = [];
  const blank = (from: number, to: number) => {
    for (let at = from; at < to; at++)
      if (at < variation.start || at >= variation.end || !variation.isErased(at)) return false;
    return true;
  };
  for (let end = Math.ceil((range.start + bytes) / lonelyStep) * lonelyStep; end <= range.end; end += lonelyStep) {
    const at = end - bytes;
    if (at >= range.start && varies(variation, at, end) && blank(at - lonely, at)) places.push(at);
  }
  return places;
}

const lonelyStep = 256;
const lonely = 8;

function varies(variation: Variation, from: number, to: number): boolean {
  for (let at = from; at < to; at++) if (variation.at(at) !== "constant") return true;
  return false;
}
