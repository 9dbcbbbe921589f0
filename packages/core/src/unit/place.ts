import { MEMORY_END, type Span } from "../bytes/span.js";
import type { Anchor, Position, Quantity, Range, Term } from "../profile/schema/quantity.js";

/** Why a place that a profile names cannot be told in this image. */
export type Obstacle =
  | { readonly kind: "field-unreadable"; readonly field: string }
  | { readonly kind: "region-unplaced"; readonly region: string }
  | { readonly kind: "value-without-case"; readonly field: string; readonly value: string }
  | { readonly kind: "no-multiple"; readonly of: number }
  | { readonly kind: "anchor-missing"; readonly anchor: string }
  | { readonly kind: "anchor-ambiguous"; readonly anchor: string; readonly first: number; readonly second: number }
  | { readonly kind: "anchors-many"; readonly anchor: string }
  | { readonly kind: "outside-memory"; readonly start: number; readonly end: number };

/** What was looked for, or what stood in the way. */
export type Found<T> =
  | { readonly value: T; readonly obstacle?: never }
  | { readonly value?: never; readonly obstacle: Obstacle };

/** What places are computed from. */
export interface Surroundings {
  /** One past the last address of the memory, or of what is known of it. */
  readonly end: number;
  /** Just past the one place where the anchor's bytes stand. */
  readonly endOfAnchor: (anchor: Anchor) => Found<number>;
  /** How many bytes were gone through for anchors so far. */
  readonly searched: () => number;
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
    const from = "region" in position ? startOfRegion(position.region, around) : around.endOfAnchor(position.after);
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
