import { type Accelerators, type Algorithm, type AlgorithmChoice, algorithmOf } from "../algorithms/algorithm.js";
import { withReversedWords } from "../algorithms/reversed-words.js";
import { contains, firstTwice, overlap, type Span, totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import type { ChecksumRule } from "../profile/schema/checksum.js";
import { allSpansOf, insideMemory, placedSpan, quantityOf } from "../unit/place.js";
import type { Unit } from "../unit/unit.js";
import type { Absence } from "./absence.js";

/**
 * What all checksums of a profile together may take in `image`, in bytes, known or not: a profile is not trusted to ask
 * for little, and what it costs is to grow with what is there.
 */
export function effortFor(image: Image): number {
  return 256 * 1024 * 1024 + 256 * image.length;
}

/** A piece between two holes costs as much as so many bytes. */
const pieceEffort = 256;

/** What it takes besides, in bytes, that what is known of `over` lies in so many pieces. */
export function piecesEffort(over: readonly Span[], image: Image): number {
  return pieceEffort * over.reduce((total, span) => total + image.piecesIn(span), 0);
}

/** The most checksums that are looked at in one image, repeats counted. */
export const CHECKSUM_LIMIT = 8192;

/** A checksum of the profile as it lies in one image: one for each repeat. */
export interface PlacedChecksum {
  /** The rule's name; with `-1`, `-2` and so on behind it when the rule repeats. */
  readonly name: string;
  readonly rule: ChecksumRule;
  readonly algorithm: Algorithm;
  /** The ranges in the order in which they are fed, gaps and all; empty when they cannot be told. */
  readonly over: readonly Span[];
  readonly storedAt?: Span;
  readonly absence?: Absence;
}

/** The checksums of the unit's profile that apply to it, in the profile's order. */
export function placeChecksums(unit: Unit, accelerators: Accelerators = {}): readonly PlacedChecksum[] {
  const all: PlacedChecksum[] = [];
  let effort = effortFor(unit.image);
  // Rules of one algorithm share its tables.
  const known = new Map<AlgorithmChoice, Algorithm>();
  for (const rule of unit.profile.checksums) {
    const choice = rule.algorithm;
    const plain = known.get(choice) ?? algorithmOf(choice, accelerators);
    known.set(choice, plain);
    const algorithm = rule.reversedWords ? withReversedWords(plain, rule.reversedWords) : plain;
    for (const placed of placeRule(rule, algorithm, unit, CHECKSUM_LIMIT - all.length, () => effort < 0)) {
      const length = totalLength(placed.over);
      effort -= length + piecesEffort(placed.over, unit.image);
      all.push(effort >= 0 || placed.absence ? placed : { ...placed, over: [], absence: { kind: "effort", length } });
    }
  }
  return all;
}

/** The bytes that the stored value of `rule` takes, both halves where it stands beside its complement. */
export function storedLength(rule: ChecksumRule, algorithm: Algorithm): number {
  const bytes = rule.stored.bytes ?? Math.ceil(algorithm.width / 8);
  return rule.stored.form === "value-and-complement" ? 2 * bytes : bytes;
}

/** Why `algorithm` says nothing over spans that hold some bytes twice. A hash tells every change of what goes into it. */
export function twiceIn({ kind }: Algorithm, over: readonly Span[]): Absence | undefined {
  const span = kind === "hash" ? undefined : firstTwice(over);
  return span && { kind: "covered-twice", span };
}

/** `spent` says whether there is no effort left, so that further repeats are named and not placed. */
function* placeRule(
  rule: ChecksumRule,
  algorithm: Algorithm,
  unit: Unit,
  most: number,
  spent: () => boolean,
): Generator<PlacedChecksum, void, undefined> {
  const absent = (name: string, absence: Absence) => ({ name, rule, algorithm, over: [], absence });
  const first = firstOf(rule, algorithm, unit);
  if (first === undefined) return;
  if ("kind" in first) {
    yield absent(rule.name, first);
    return;
  }
  if (!rule.repeat) {
    yield checked({ name: rule.name, ...first });
    return;
  }
  const count = quantityOf(rule.repeat.count, unit.around);
  const every = quantityOf(rule.repeat.every, unit.around);
  if (count.obstacle) {
    yield absent(rule.name, { kind: "place", obstacle: count.obstacle });
    return;
  }
  if (every.obstacle) {
    yield absent(rule.name, { kind: "place", obstacle: every.obstacle });
    return;
  }
  if (!Number.isInteger(count.value) || count.value < 0 || count.value > most) {
    yield absent(rule.name, { kind: "count", count: count.value, most });
    return;
  }
  const length = totalLength(first.over);
  for (let i = 0; i < count.value; i++) {
    const name = `${rule.name}-${i + 1}`;
    yield spent() ? absent(name, { kind: "effort", length }) : shifted(name, first, i * every.value);
  }
}

type First = Omit<PlacedChecksum, "name"> & { readonly storedAt: Span };

/** Where the rule's only checksum lies, or the first of its repeats; why not; undefined where it does not apply. */
function firstOf(rule: ChecksumRule, algorithm: Algorithm, unit: Unit): First | Absence | undefined {
  const applies = unit.holds(rule.when);
  if (applies === false) return undefined;
  if (applies === undefined) {
    const field = rule.when?.field ?? "";
    return { kind: "place", obstacle: { kind: "field-unreadable", field } };
  }
  const over = allSpansOf(rule.over, unit.around);
  if (over.obstacle) return { kind: "place", obstacle: over.obstacle };
  const storedAt = placedSpan(rule.stored.at, storedLength(rule, algorithm), unit.around);
  if (storedAt.obstacle) return { kind: "place", obstacle: storedAt.obstacle };
  return twiceIn(algorithm, over.value) ?? { rule, algorithm, over: over.value, storedAt: storedAt.value };
}

function shifted(name: string, first: First, distance: number): PlacedChecksum {
  const spans = [first.storedAt, ...first.over].map((span) => insideMemory(span.start + distance, span.end + distance));
  const outside = spans.find((found) => found.obstacle);
  if (outside?.obstacle) {
    const { rule, algorithm } = first;
    return { name, rule, algorithm, over: [], absence: { kind: "place", obstacle: outside.obstacle } };
  }
  const [storedAt, ...over] = spans.map((found) => found.value as Span);
  return checked({ ...first, name, over, storedAt: storedAt as Span });
}

/** The same, with the reason why it can never hold when its stored value lies where it must not. */
function checked(placed: PlacedChecksum & { readonly storedAt: Span }): PlacedChecksum {
  const { rule, over, storedAt } = placed;
  if (rule.stored.form === "whole-comes-to-constant") {
    const inside = over.filter((span) => contains(span, storedAt)).length === 1;
    return inside ? placed : { ...placed, absence: { kind: "stored-outside", span: storedAt } };
  }
  const meets = rule.inside === undefined && over.some((span) => overlap(span, storedAt));
  return meets ? { ...placed, absence: { kind: "stored-inside", span: storedAt } } : placed;
}
