import { fromHex } from "../bytes/hex.js";
import { MEMORY_END, type Span } from "../bytes/span.js";
import { fromLatin1 } from "../bytes/text.js";
import type { Image } from "../image/image.js";
import type { Anchor, Position, Quantity, Range, Term } from "../profile/schema/quantity.js";

/** Why a place that a profile names cannot be told in this image. */
export type Obstacle =
  | { readonly kind: "field-unreadable"; readonly field: string }
  | { readonly kind: "region-unplaced"; readonly region: string }
  | { readonly kind: "value-without-case"; readonly field: string; readonly value: string }
  | { readonly kind: "no-multiple"; readonly of: number }
  | { readonly kind: "anchor-missing"; readonly anchor: string }
  | { readonly kind: "anchor-ambiguous"; readonly anchor: string; readonly first: number; readonly second: number }
  | { readonly kind: "outside-memory"; readonly start: number; readonly end: number };

/** What was looked for, or what stood in the way. */
export type Found<T> =
  | { readonly value: T; readonly obstacle?: never }
  | { readonly value?: never; readonly obstacle: Obstacle };

/** What places are computed from. */
export interface Surroundings {
  readonly image: Image;
  /** One past the last address of the memory, or of what is known of it. */
  readonly end: number;
  /** The value of an unsigned field. */
  readonly numberOf: (field: string) => Found<number>;
  /** The value of any field as a report shows it: what its cases are named by. */
  readonly shownOf: (field: string) => Found<string>;
  readonly spanOfField: (field: string) => Found<Span>;
  readonly spansOfRegion: (region: string) => Found<readonly Span[]>;
}

/** The number that a profile's quantity comes to. May be negative or large: places check it. */
export function quantityOf(quantity: Quantity, around: Surroundings): Found<number> {
  if (typeof quantity === "number" || !("sum" in quantity)) return termOf(quantity, around);
  let total = 0;
  for (const term of quantity.sum) {
    const part = termOf(term, around);
    if (part.obstacle) return part;
    total += part.value;
  }
  return { value: total };
}

function termOf(term: Term, around: Surroundings): Found<number> {
  if (typeof term === "number") return { value: term };
  if ("roundUp" in term) return roundedUp(term, around);
  if ("cases" in term) return caseOf(term, around);
  const read = around.numberOf("twoToThe" in term ? term.twoToThe : term.field);
  if (read.obstacle) return read;
  if ("times" in term && "field" in term) return { value: read.value * term.times + term.plus };
  return { value: read.value > 52 ? MEMORY_END + 1 : term.times * 2 ** read.value };
}

function caseOf({ field, cases, otherwise }: Extract<Term, { cases: unknown }>, around: Surroundings): Found<number> {
  const shown = around.shownOf(field);
  if (shown.obstacle) return shown;
  const choice = Object.hasOwn(cases, shown.value) ? cases[shown.value] : otherwise;
  return choice === undefined
    ? { obstacle: { kind: "value-without-case", field, value: shown.value } }
    : { value: choice };
}

function roundedUp({ roundUp, to }: Extract<Term, { roundUp: unknown }>, around: Surroundings): Found<number> {
  const value = termOf(roundUp, around);
  if (value.obstacle) return value;
  const unit = termOf(to, around);
  if (unit.obstacle) return unit;
  if (unit.value < 1) return { obstacle: { kind: "no-multiple", of: unit.value } };
  return { value: Math.ceil(value.value / unit.value) * unit.value };
}

/** The address that a profile's position comes to, not yet checked to be inside the memory. */
function addressOf(position: Position, around: Surroundings): Found<number> {
  if (typeof position === "number") return { value: position };
  if ("fromEnd" in position) {
    const back = quantityOf(position.fromEnd, around);
    return back.obstacle ? back : { value: around.end - back.value };
  }
  if ("region" in position || "after" in position) {
    const from =
      "region" in position ? startOfRegion(position.region, around) : endOfAnchor(position.after, around.image);
    if (from.obstacle) return from;
    const plus = quantityOf(position.plus, around);
    return plus.obstacle ? plus : { value: from.value + plus.value };
  }
  return quantityOf(position, around);
}

function startOfRegion(region: string, around: Surroundings): Found<number> {
  const spans = around.spansOfRegion(region);
  if (spans.obstacle) return spans;
  const first = spans.value[0];
  return first ? { value: first.start } : { obstacle: { kind: "region-unplaced", region } };
}

/** The span from `position` of `length` bytes, when it lies inside 0 to 2**32. */
export function placedSpan(position: Position, length: Quantity, around: Surroundings): Found<Span> {
  const start = addressOf(position, around);
  if (start.obstacle) return start;
  const size = quantityOf(length, around);
  return size.obstacle ? size : insideMemory(start.value, start.value + size.value);
}

/** The span, when it lies inside 0 to 2**32. */
export function insideMemory(start: number, end: number): Found<Span> {
  const inside =
    Number.isSafeInteger(start) && Number.isSafeInteger(end) && start >= 0 && end >= start && end <= MEMORY_END;
  return inside ? { value: { start, end } } : { obstacle: { kind: "outside-memory", start, end } };
}

/** The spans that a profile's range comes to: several only for a region. */
export function spansOf(range: Range, around: Surroundings): Found<readonly Span[]> {
  if ("region" in range) return around.spansOfRegion(range.region);
  const span = "field" in range ? around.spanOfField(range.field) : spanOfRange(range, around);
  return span.obstacle ? span : { value: [span.value] };
}

function spanOfRange(range: Extract<Range, { start: unknown }>, around: Surroundings): Found<Span> {
  if ("length" in range) return placedSpan(range.start, range.length, around);
  const start = addressOf(range.start, around);
  if (start.obstacle) return start;
  const end = addressOf(range.end, around);
  return end.obstacle ? end : insideMemory(start.value, end.value);
}

/** The spans of several ranges in their order, or the first obstacle. */
export function allSpansOf(ranges: readonly Range[], around: Surroundings): Found<readonly Span[]> {
  const spans: Span[] = [];
  for (const range of ranges) {
    const found = spansOf(range, around);
    if (found.obstacle) return found;
    spans.push(...found.value);
  }
  return { value: spans };
}

/** Just past the one place where the anchor's bytes stand. Two places are an obstacle: which one is meant is not known. */
function endOfAnchor(anchor: Anchor, image: Image): Found<number> {
  const wanted = anchor.hex === undefined ? fromLatin1(anchor.text as string) : fromHex(anchor.hex);
  const shown = anchor.text ?? anchor.hex ?? "";
  if (!wanted) return { obstacle: { kind: "anchor-missing", anchor: shown } };
  const within = anchor.within
    ? { start: anchor.within.start, end: anchor.within.start + anchor.within.length }
    : undefined;
  let first: number | undefined;
  for (const segment of within ? image.within(within) : image.segments) {
    for (const at of occurrences(segment.bytes, wanted)) {
      const address = segment.address + at;
      if (first !== undefined) return { obstacle: { kind: "anchor-ambiguous", anchor: shown, first, second: address } };
      first = address;
    }
  }
  return first === undefined
    ? { obstacle: { kind: "anchor-missing", anchor: shown } }
    : { value: first + wanted.length };
}

/** Where `wanted` begins in `bytes`, overlaps and all, in time linear in both (Knuth, Morris and Pratt). */
function* occurrences(bytes: Uint8Array, wanted: Uint8Array): Generator<number, void, undefined> {
  const shorter = shorterMatches(wanted);
  let matched = 0;
  for (let at = 0; at < bytes.length; at++) {
    if (matched === 0) at = bytes.indexOf(wanted[0] as number, at);
    if (at < 0) return;
    while (matched > 0 && bytes[at] !== wanted[matched]) matched = shorter[matched - 1] as number;
    if (bytes[at] === wanted[matched]) matched++;
    if (matched === wanted.length) {
      yield at - matched + 1;
      matched = shorter[matched - 1] as number;
    }
  }
}

/** For each length of a match less one: the longest shorter match that ends in the same place. */
function shorterMatches(wanted: Uint8Array): Uint16Array {
  const shorter = new Uint16Array(wanted.length);
  for (let at = 1, matched = 0; at < wanted.length; at++) {
    while (matched > 0 && wanted[at] !== wanted[matched]) matched = shorter[matched - 1] as number;
    if (wanted[at] === wanted[matched]) matched++;
    shorter[at] = matched;
  }
  return shorter;
}
