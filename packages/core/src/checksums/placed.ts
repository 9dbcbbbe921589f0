import { type Accelerators, type Algorithm, algorithmOf } from "../algorithms/algorithm.js";
import { contains, overlap, type Span } from "../bytes/span.js";
import type { ChecksumRule } from "../profile/schema/checksum.js";
import { allSpansOf, insideMemory, type Obstacle, placedSpan, quantityOf } from "../unit/place.js";
import type { Unit } from "../unit/unit.js";

/** The most checksums that are looked at in one image, repeats counted. */
export const CHECKSUM_LIMIT = 8192;

/** Why a checksum neither holds nor fails. */
export type Absence =
  /** A place that it needs cannot be told. */
  | { readonly kind: "place"; readonly obstacle: Obstacle }
  /** How often it is repeated is no usable number. */
  | { readonly kind: "count"; readonly count: number; readonly most: number }
  /** The stored value lies in what is covered, and the profile does not say how it counts there. */
  | { readonly kind: "stored-inside"; readonly span: Span }
  /** The whole is to come to a constant, and the stored value is no part of it. */
  | { readonly kind: "stored-outside"; readonly span: Span }
  /** Bytes that it covers are not known. */
  | { readonly kind: "gaps"; readonly spans: readonly Span[] }
  | { readonly kind: "stored-unknown"; readonly span: Span }
  | { readonly kind: "nothing-covered" }
  | { readonly kind: "length"; readonly length: number; readonly multipleOf: number }
  /** All that it covers and the stored value are one repeated byte: erased or never written, whatever the sum says. */
  | { readonly kind: "blank"; readonly byte: number }
  /** So many bytes cannot be gone through for an image of this size. */
  | { readonly kind: "effort"; readonly length: number };

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
  // Rules of one algorithm share its tables.
  const named = new Map<string, Algorithm>();
  for (const rule of unit.profile.checksums) {
    const choice = rule.algorithm;
    const algorithm = (typeof choice === "string" && named.get(choice)) || algorithmOf(choice, accelerators);
    if (typeof choice === "string") named.set(choice, algorithm);
    all.push(...placeRule(rule, algorithm, unit, CHECKSUM_LIMIT - all.length));
  }
  return all;
}

/** The bytes that the stored value of `rule` takes, both halves where it stands beside its complement. */
export function storedLength(rule: ChecksumRule, algorithm: Algorithm): number {
  const bytes = rule.stored.bytes ?? Math.ceil(algorithm.width / 8);
  return rule.stored.form === "value-and-complement" ? 2 * bytes : bytes;
}

function placeRule(rule: ChecksumRule, algorithm: Algorithm, unit: Unit, most: number): PlacedChecksum[] {
  const nowhere = (absence: Absence) => [{ name: rule.name, rule, algorithm, over: [], absence }];
  const applies = unit.holds(rule.when);
  if (applies === false) return [];
  if (applies === undefined) {
    const field = rule.when?.field ?? "";
    return nowhere({ kind: "place", obstacle: { kind: "field-unreadable", field } });
  }
  const over = allSpansOf(rule.over, unit.around);
  if (over.obstacle) return nowhere({ kind: "place", obstacle: over.obstacle });
  const storedAt = placedSpan(rule.stored.at, storedLength(rule, algorithm), unit.around);
  if (storedAt.obstacle) return nowhere({ kind: "place", obstacle: storedAt.obstacle });
  const first = { rule, algorithm, over: over.value, storedAt: storedAt.value };
  if (!rule.repeat) return [checked({ name: rule.name, ...first })];

  const count = quantityOf(rule.repeat.count, unit.around);
  if (count.obstacle) return nowhere({ kind: "place", obstacle: count.obstacle });
  const every = quantityOf(rule.repeat.every, unit.around);
  if (every.obstacle) return nowhere({ kind: "place", obstacle: every.obstacle });
  if (!Number.isInteger(count.value) || count.value < 0 || count.value > most) {
    return nowhere({ kind: "count", count: count.value, most });
  }
  return Array.from({ length: count.value }, (_, i) => shifted(`${rule.name}-${i + 1}`, first, i * every.value));
}

function shifted(
  name: string,
  first: Omit<PlacedChecksum, "name"> & { readonly storedAt: Span },
  distance: number,
): PlacedChecksum {
  const spans = [first.storedAt, ...first.over].map((span) => insideMemory(span.start + distance, span.end + distance));
  const outside = spans.find((found) => found.obstacle);
  if (outside?.obstacle) {
    return { ...first, name, over: [], absence: { kind: "place", obstacle: outside.obstacle } };
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
