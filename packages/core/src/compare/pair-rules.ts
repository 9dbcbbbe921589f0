import { toHex } from "../bytes/hex.js";
import { lengthOf, type Span, sameSpans, totalLength } from "../bytes/span.js";
import { sameBytes } from "../image/image.js";
import type { PairRule } from "../profile/schema/pair.js";
import { allSpansOf } from "../unit/place.js";
import type { Sides } from "../unit/side.js";
import type { Unit } from "../unit/unit.js";
import { obstacleText } from "../unit/words.js";
import { bytesOf, isForShowing, shortenedHex, shownBytes } from "./span-bytes.js";

/** What one rule of the pairing says about two units. */
export interface PairRuleReading {
  readonly name: string;
  readonly rule: PairRule["rule"];
  readonly why: string;
  /** Where it speaks of, in the left unit (and in the right one: the places must be the same). */
  readonly over: readonly Span[];
  /** `unasked`: it is about two sides, and the units are on one. */
  readonly status: "holds" | "broken" | "untold" | "unasked";
  /** Where it is broken. */
  readonly at?: Span;
  /** What should stand there and what does: as hex, or in words where the content is not for showing. */
  readonly expected?: string;
  readonly found?: string;
  /** Which unit breaks it, when it is one. */
  readonly unit?: "left" | "right";
  /** Why it could not be told. */
  readonly reason?: string;
}

const movedReason = "it lies at different places in the two units";

/** Rules that only mean something between the two sides. */
const betweenSides: readonly PairRule["rule"][] = ["per-side", "complement", "exchanged", "reordered"];

/**
 * What `rule` says about the two units, each on the side that it was found to be on; `sides` is undefined when both are
 * on the same one.
 */
export function readPairRule(rule: PairRule, left: Unit, right: Unit, sides: Sides | undefined): PairRuleReading {
  const reading = judgedRule(rule, left, right, sides);
  // Of values that must be distinct only words are told.
  if (reading.status !== "broken" || rule.rule === "distinct") return reading;
  if (isForShowing(left, reading.over) && isForShowing(right, reading.over)) return reading;
  return { ...reading, expected: "what the rule asks for, which is not shown", found: "other content" };
}

function judgedRule(rule: PairRule, left: Unit, right: Unit, sides: Sides | undefined): PairRuleReading {
  const about = { name: rule.name, rule: rule.rule, why: rule.why ?? "the two units carry the same here" };
  const overLeft = allSpansOf(rule.over, left.around);
  const overRight = allSpansOf(rule.over, right.around);
  const obstacle = overLeft.obstacle ?? overRight.obstacle;
  if (obstacle) return { ...about, over: [], status: "untold", reason: obstacleText(obstacle) };
  const over = overLeft.value ?? [];
  const there = { ...about, over };
  if (!sameSpans(over, overRight.value ?? [])) {
    return { ...there, status: "untold", reason: movedReason };
  }
  if (rule.rule === "free" || rule.rule === "same") return { ...there, status: "holds" };
  if (!sides && betweenSides.includes(rule.rule)) return { ...there, status: "unasked" };

  const a = bytesOf(left, over);
  const b = bytesOf(right, over);
  if (!a || !b) return { ...there, status: "untold", reason: "part of it was not read" };
  switch (rule.rule) {
    case "distinct":
      return distinct(there, rule.over, left, a, b);
    case "per-side": {
      for (const [unit, bytes, side] of [
        ["left", a, sides?.left ?? ""] as const,
        ["right", b, sides?.right ?? ""] as const,
      ]) {
        const expected = rule.values[side] ?? "";
        const found = toHex(bytes);
        if (found !== expected) {
          return {
            ...there,
            ...brokenAt(over, 0, bytes.length),
            unit,
            expected: shortenedHex(expected),
            found: shortenedHex(found),
          };
        }
      }
      return { ...there, status: "holds" };
    }
    case "complement":
      return compared(
        there,
        over,
        a.map((byte) => 255 - byte),
        b,
      );
    case "exchanged": {
      const withLeft = allSpansOf(rule.with, left.around).value;
      const withRight = allSpansOf(rule.with, right.around).value;
      if (withLeft && withRight && !sameSpans(withLeft, withRight)) {
        return { ...there, status: "untold", reason: movedReason };
      }
      const c = withLeft && bytesOf(left, withLeft);
      const d = withRight && bytesOf(right, withRight);
      if (!withLeft || !c || !d || c.length !== a.length) {
        return { ...there, status: "untold", reason: "its two places do not both hold as many bytes" };
      }
      const both = { ...there, over: [...over, ...withLeft] };
      const first = compared(both, over, c, b);
      return first.status === "holds" ? compared(both, withLeft, a, d) : first;
    }
    case "reordered": {
      const { element, order } = rule;
      if (a.length !== element * order.length) {
        return {
          ...there,
          status: "untold",
          reason: `it holds ${a.length} bytes, not ${order.length} elements of ${element}`,
        };
      }
      const wanted = new Uint8Array(a.length);
      for (const [k, from] of order.entries())
        wanted.set(a.subarray(from * element, (from + 1) * element), k * element);
      return compared(there, over, wanted, b);
    }
  }
}

/** Holds when each range differs by itself: a key that is the same is so beside a serial number that is not. */
function distinct(
  about: Pick<PairRuleReading, "name" | "rule" | "why" | "over">,
  ranges: PairRule["over"],
  left: Unit,
  a: Uint8Array,
  b: Uint8Array,
): PairRuleReading {
  if (a.length === 0) return { ...about, status: "untold", reason: "it holds no byte" };
  let at = 0;
  for (const range of ranges) {
    const spans = allSpansOf([range], left.around).value ?? [];
    const end = at + totalLength(spans);
    if (end > at && sameBytes(a.subarray(at, end), b.subarray(at, end))) {
      const value = { expected: "two different values", found: "the same value in both units" };
      return { ...about, ...brokenAt(spans, 0, end - at), ...value };
    }
    at = end;
  }
  return { ...about, status: "holds" };
}

/** Holds when `found` (of the right unit) is what follows from the left one. */
function compared(
  about: Pick<PairRuleReading, "name" | "rule" | "why" | "over">,
  place: readonly Span[],
  wanted: Uint8Array,
  found: Uint8Array,
): PairRuleReading {
  const first = wanted.findIndex((byte, i) => byte !== found[i]);
  if (first < 0) return { ...about, status: "holds" };
  const end = Math.min(first + shownBytes, wanted.length);
  return {
    ...about,
    ...brokenAt(place, first, 1),
    unit: "right",
    expected: toHex(wanted.subarray(first, end)),
    found: toHex(found.subarray(first, end)),
  };
}

/** The place of `length` bytes at `offset` into `spans`, cut to the span in which it begins. */
function brokenAt(spans: readonly Span[], offset: number, length: number): { status: "broken"; at: Span } {
  let rest = offset;
  for (const span of spans) {
    if (rest < lengthOf(span)) {
      return {
        status: "broken",
        at: { start: span.start + rest, end: Math.min(span.end, span.start + rest + length) },
      };
    }
    rest -= lengthOf(span);
  }
  return { status: "broken", at: spans[0] ?? { start: 0, end: 0 } };
}
