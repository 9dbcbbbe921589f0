import { type Accelerators, algorithmOf } from "../algorithms/algorithm.js";
import { formatValue } from "../bytes/hex.js";
import { normalised, type Span, subtract } from "../bytes/span.js";
import type { StatedChecksum, StatedNumber } from "../profile/schema/checksum.js";
import { allSpansOf } from "../unit/place.js";
import type { Unit } from "../unit/unit.js";
import { type ChecksumFacts, tellingWidth } from "./facts.js";
import { feedOf, isSpan, valueFrom } from "./feed.js";
import { effortFor, piecesEffort, twiceIn } from "./placed.js";

/** The checksums that the unit's profile states itself, measured. Nothing of them is stored in the image. */
export function measureStated(unit: Unit, accelerators: Accelerators): readonly ChecksumFacts[] {
  let effort = effortFor(unit.image);
  return unit.profile.statedChecksums.map((rule) => {
    const { facts, cost } = measure(rule, unit, accelerators, effort);
    effort -= cost;
    return facts;
  });
}

function measure(
  rule: StatedChecksum,
  unit: Unit,
  accelerators: Accelerators,
  effort: number,
): { readonly facts: ChecksumFacts; readonly cost: number } {
  const algorithm = algorithmOf(rule.algorithm, accelerators);
  const { name, kind, width, ordered } = algorithm;
  const stored = formatValue(BigInt(`0x${rule.value}`), width);
  const base = {
    name: rule.name,
    rule: rule.name,
    algorithm: name,
    kind,
    width,
    ordered,
    stated: true,
    stored,
    covered: [],
  } as const;
  const absent = (absence: NonNullable<ChecksumFacts["absence"]>, covered: readonly Span[] = []) => ({
    facts: { ...base, covered, status: "absent", absence } as const,
    cost: 0,
  });
  const over = allSpansOf(rule.over, unit.around);
  if (over.obstacle) return absent({ kind: "place", obstacle: over.obstacle });
  const twice = twiceIn(algorithm, over.value);
  if (twice) return absent(twice);
  const feed = feedOf({ gaps: rule.gaps, inside: undefined }, over.value, undefined, unit.image);
  const { length, gaps, pieces } = feed;
  const cost = length + piecesEffort(over.value, unit.image);
  if (cost > effort) return absent({ kind: "effort", length });
  if (gaps.length > 0) return { ...absent({ kind: "gaps", spans: gaps }, over.value), cost };
  if (length === 0 || pieces.every((piece) => !isSpan(piece))) return absent({ kind: "nothing-covered" }, over.value);
  if (length % algorithm.multipleOf !== 0) return absent({ kind: "length", length, multipleOf: algorithm.multipleOf });
  const computed = formatValue(valueFrom(algorithm, pieces, unit.image), width);
  const status = computed === stored ? "holds" : "fails";
  return { facts: { ...base, covered: pieces.filter(isSpan), computed, status }, cost };
}

/**
 * The numbers that the profile states of regions that are known to hold what it speaks of: stated values of 16 bits or
 * more, measured in `facts`, cover all of the region and hold, and none fails.
 */
export function vouchedNumbers(unit: Unit, facts: readonly ChecksumFacts[]): readonly StatedNumber[] {
  const stated = facts.filter((one) => one.stated);
  if (stated.some(({ status }) => status !== "holds")) return [];
  const covered = normalised(stated.filter(({ width }) => width >= tellingWidth).flatMap((one) => one.covered));
  return unit.profile.statedNumbers.filter(({ region }) => {
    const spans = unit.regions.find(({ name }) => name === region)?.spans ?? [];
    return spans.length > 0 && subtract(spans, covered).length === 0;
  });
}
