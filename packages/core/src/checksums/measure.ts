import type { Accelerators } from "../algorithms/algorithm.js";
import { formatValue } from "../bytes/hex.js";
import { lengthOf, type Span } from "../bytes/span.js";
import { type Image, sameBytes } from "../image/image.js";
import type { Unit } from "../unit/unit.js";
import { balancingBytes } from "./balance.js";
import type { ChecksumFacts } from "./facts.js";
import { type Feed, feedOf, isSpan, valueFrom } from "./feed.js";
import { shownStored, storedBytes } from "./form.js";
import { obstacleOf } from "./obstacle.js";
import { type PlacedChecksum, placeChecksums } from "./placed.js";
import { measureStated } from "./stated.js";

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
    ordered: algorithm.ordered,
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
