import { common, normalised, type Span, subtract } from "../bytes/span.js";
import { belongingOf } from "../profile/schema/field.js";
import { differOnlyInField } from "../unit/field.js";
import type { Unit } from "../unit/unit.js";
import { followedChecksums } from "./followed.js";
import type { FollowingChecksum } from "./following.js";
import type { PairRuleReading } from "./pair-rules.js";

/** Spans in which a difference has a reason, under the name of that reason. */
export interface Explanation {
  /** `pair/NAME`, `volatile`, `field/NAME`, `side`, `checksum/NAME`. */
  readonly rule: string;
  readonly spans: readonly Span[];
}

/**
 * What explains differences between two units, each address by the first that speaks of it, unless a rule says that it
 * is the same: the profile's pairing rules that hold; the field that tells the side; what units write by themselves; fields that belong to the single
 * unit; and stored checksums that follow from nothing but explained differences. `accepted` is what the caller has a
 * reason for besides.
 */
export function explanationsOf(
  left: Unit,
  right: Unit,
  rules: readonly PairRuleReading[],
  differing: readonly Span[],
  checksums: readonly FollowingChecksum[],
  accepted: readonly Explanation[] = [],
): readonly Explanation[] {
  const explanations: Explanation[] = [];
  // Where a rule says "same", nothing else can say otherwise, whatever stands first; nor where one is broken.
  const speaking = ({ rule, status }: PairRuleReading) => rule === "same" || status !== "holds";
  let spoken: Span[] = normalised(rules.filter(speaking).flatMap(({ over }) => over));
  const add = (rule: string, spans: readonly Span[]) => {
    const fresh = subtract(spans, spoken);
    if (fresh.length > 0) explanations.push({ rule, spans: fresh });
    spoken = [...spoken, ...fresh];
  };
  for (const reading of rules) if (!speaking(reading)) add(`pair/${reading.name}`, reading.over);
  for (const { rule, spans } of accepted) add(rule, spans);
  const sideField = left.profile.pair?.sides?.field;
  for (const [i, reading] of left.fields.entries()) {
    const twin = right.fields[i];
    if (!("span" in reading) || !twin || !("span" in twin)) continue;
    if (!differOnlyInField(reading, twin)) continue;
    const place = common([reading.span], [twin.span]);
    if (reading.field.name === sideField) add("side", place);
    else if (belongingOf(reading.field) === "unit") add(`field/${reading.field.name}`, place);
  }
  add("volatile", common(left.volatile, right.volatile));

  const explained = normalised(explanations.flatMap(({ spans }) => spans));
  const followed = followedChecksums(checksums, differing, { explained, closed: subtract(spoken, explained) });
  return [...explanations, ...followed.map(({ name, spans }) => ({ rule: `checksum/${name}`, spans }))];
}
