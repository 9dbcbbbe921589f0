import type { Accelerators, AlgorithmKind } from "../algorithms/algorithm.js";
import { formatValue } from "../bytes/hex.js";
import { lengthOf, type Span } from "../bytes/span.js";
import { type Image, sameBytes } from "../image/image.js";
import type { Unit } from "../unit/unit.js";
import type { Absence } from "./absence.js";
import { balancingBytes } from "./balance.js";
import { type Feed, feedOf, isSpan, valueFrom } from "./feed.js";
import { shownStored, storedBytes } from "./form.js";
import { obstacleOf } from "./obstacle.js";
import { type PlacedChecksum, placeChecksums } from "./placed.js";
import { measureStated } from "./stated.js";

/** A checksum of the profile in one image: whether what is stored is what comes out. Nothing in it is judged. */
export interface ChecksumFacts {
  /** The profile's name for it; with `-1`, `-2` and so on behind it when it repeats. */
  readonly name: string;
  /** The profile's rule that it comes from: the same name without the number. */
  readonly rule: string;
  /** The algorithm's canonical name. */
  readonly algorithm: string;
  readonly kind: AlgorithmKind;
  /** In bits. */
  readonly width: number;
  readonly status: "holds" | "fails" | "absent";
  /**
   * The stored value in its own byte order, as hex; a value and its complement one after the other. Where `storedAt` is
   * left out, and the profile states the value, that one.
   */
  readonly stored?: string;
  /** What would have to be stored there for it to hold, in the same form; left out when it cannot be told. */
  readonly computed?: string;
  /** Where the whole is to come to a constant: what it comes to, and to what it should. */
  readonly whole?: { readonly value: string; readonly constant: string };
  /** The bytes of the image that go into it, in that order. The stored value is among them only when it goes into it. */
  readonly covered: readonly Span[];
  readonly storedAt?: Span;
  /** Whether the value is stated outside of the image. */
  readonly stated?: true;
  /** Why it is absent. */
  readonly absence?: Absence;
}

/** Every checksum that the profile declares and that applies, measured. */
export function measureChecksums(unit: Unit, accelerators: Accelerators = {}): readonly ChecksumFacts[] {
  return [
    ...placeChecksums(unit, accelerators).map((placed) => measure(placed, unit)),
    ...measureStated(unit, accelerators),
  ];
}

function measure(placed: PlacedChecksum, unit: Unit): ChecksumFacts {
  const { name, rule, algorithm, storedAt } = placed;
  const feed = storedAt && !placed.absence ? feedOf(rule, placed.over, storedAt, unit.image) : undefined;
  const stored = storedAt && unit.image.read(storedAt);
  const base = {
    name,
    rule: rule.name,
    algorithm: algorithm.name,
    kind: algorithm.kind,
    width: algorithm.width,
    covered: feed?.pieces.filter(isSpan) ?? [],
    ...(storedAt && { storedAt }),
    ...(stored && { stored: shownStored(rule, stored) }),
  };
  const absence = placed.absence ?? (feed && obstacleOf(placed, feed, unit));
  if (absence || !feed || !storedAt) {
    return { ...base, status: "absent", absence: absence ?? { kind: "nothing-covered" } };
  }
  const inImage = rule.stored.form === "whole-comes-to-constant" ? wholeIn : valueIn;
  return { ...base, ...inImage(unit.image, placed, feed, storedAt) };
}

type Outcome = Pick<ChecksumFacts, "status" | "computed" | "whole">;

function valueIn(image: Image, { rule, algorithm }: PlacedChecksum, feed: Feed, storedAt: Span): Outcome {
  const right = storedBytes(rule, valueFrom(algorithm, feed.pieces, image), lengthOf(storedAt));
  const holds = sameBytes(image.read(storedAt) as Uint8Array, right);
  return { status: holds ? "holds" : "fails", computed: shownStored(rule, right) };
}

function wholeIn(image: Image, { rule, algorithm }: PlacedChecksum, feed: Feed, storedAt: Span): Outcome {
  const constant = rule.stored.constant ?? 0n;
  const value = valueFrom(algorithm, feed.pieces, image);
  const whole = { value: formatValue(value, algorithm.width), constant: formatValue(constant, algorithm.width) };
  if (value === constant) {
    return { status: "holds", computed: shownStored(rule, image.read(storedAt) as Uint8Array), whole };
  }
  const right = balancingBytes(algorithm, feed.pieces, storedAt, image, constant);
  return { status: "fails", ...(right && { computed: shownStored(rule, right) }), whole };
}
