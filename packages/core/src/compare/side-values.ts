import { toHex } from "../bytes/hex.js";
import type { Span } from "../bytes/span.js";
import type { PairRule } from "../profile/schema/pair.js";
import { allSpansOf } from "../unit/place.js";
import { sideSaid } from "../unit/side.js";
import type { Unit } from "../unit/unit.js";
import { bytesOf, isForShowing, shortenedHex } from "./span-bytes.js";

/** A place where a unit does not hold what its side demands: as hex, or in words where the content is not for showing. */
export interface OtherSideValue {
  readonly rule: string;
  readonly why: string;
  readonly side: string;
  readonly expected: string;
  readonly found: string;
  readonly over: readonly Span[];
}

/**
 * Where `unit` holds other values than the pairing gives for the side that its own field names. Undefined when the
 * profile gives no such values, or the unit does not tell its side; what was not read is left to those who ask about it.
 */
export function otherSideValues(unit: Unit): OtherSideValue[] | undefined {
  const rules = (unit.profile.pair?.rules ?? []).filter((rule) => rule.rule === "per-side");
  const side = sideSaid(unit);
  if (rules.length === 0 || side === undefined) return undefined;
  return rules.flatMap((rule) => otherValue(rule, unit, side));
}

function otherValue(rule: PairRule & { rule: "per-side" }, unit: Unit, side: string): OtherSideValue[] {
  const over = allSpansOf(rule.over, unit.around).value;
  const bytes = over && bytesOf(unit, over);
  const expected = rule.values[side];
  if (!over || !bytes || expected === undefined) return [];
  const found = toHex(bytes);
  if (found === expected) return [];
  return [
    {
      rule: rule.name,
      why: rule.why,
      side,
      ...(isForShowing(unit, over)
        ? { expected: shortenedHex(expected), found: shortenedHex(found) }
        : { expected: `the value of the ${side} side`, found: "another value" }),
      over,
    },
  ];
}
