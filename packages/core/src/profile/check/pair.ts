import { overlap, totalLength } from "../../bytes/span.js";
import { sizesOf } from "../extent.js";
import type { Pairing, PairRule } from "../schema/pair.js";
import type { Profile } from "../schema/profile.js";
import type { Range } from "../schema/quantity.js";
import { literalSpans } from "./literal.js";
import { type Problem, shown } from "./problem.js";

/** What computes its length is taken for so long, where the profile does not say how large the memory is. */
const usualMemory = 16 * 2 ** 20;

/** Sides that are no two, values for other sides, and rules whose parts do not fit one another or ask for too much. */
export function pairProblems(profile: Profile): Problem[] {
  const { pair } = profile;
  if (!pair) return [];
  const names = pair.sides ? [pair.sides.left, pair.sides.right] : ["left", "right"];
  return [
    ...sidesProblems(pair, names, profile),
    ...pair.rules.flatMap((rule, i) =>
      [...ruleProblems(rule, names, profile), ...twiceProblems(rule, profile)].map(({ path, message }) => ({
        path: `pair.rules[${i}].${path}`,
        message,
      })),
    ),
    ...effortProblems(pair, profile),
  ];
}

/** A rule speaks of a place once: twice it says nothing more, and costs as much again. */
function twiceProblems(rule: PairRule, profile: Profile): Problem[] {
  const parts = [["over", rule.over] as const, ...(rule.rule === "exchanged" ? [["with", rule.with] as const] : [])];
  return parts.flatMap(([key, ranges]): Problem[] => {
    const spans = ranges
      .flatMap((range, i) => (literalSpans([range], profile) ?? []).map((span) => ({ span, i })))
      .sort((a, b) => a.span.start - b.span.start);
    const at = spans.findIndex(({ span }, k) => k > 0 && overlap(span, (spans[k - 1] as (typeof spans)[number]).span));
    const [first, second] = [spans[at - 1], spans[at]];
    if (!first || !second) return [];
    const [before, again] = [Math.min(first.i, second.i), Math.max(first.i, second.i)];
    const message = `expected places that do not overlap, got ${shown(first.span)} and ${shown(second.span)}`;
    return [{ path: `${key}[${again}]`, message: before === again ? message : `${message}, of ${key}[${before}]` }];
  });
}

/** Like that of checksums, what rules cost is to grow with the memory: a profile is not trusted to ask for little. */
function effortProblems({ rules }: Pairing, profile: Profile): Problem[] {
  const sizes = sizesOf(profile);
  const memory = sizes.length > 0 ? Math.max(...sizes) : usualMemory;
  const most = 256 * 2 ** 20 + 16 * memory;
  let total = 0;
  for (const rule of rules) {
    if (rule.rule === "same" || rule.rule === "free") continue;
    for (const range of [...rule.over, ...(rule.rule === "exchanged" ? rule.with : [])]) {
      total += longest(range, profile) ?? memory;
    }
  }
  if (total <= most) return [];
  return [{ path: "pair.rules", message: `expected rules over at most ${most} bytes in all, got ${total}` }];
}

/** The bytes of a range as far as the profile says it, wherever it lies. */
function longest(range: Range, profile: Profile): number | undefined {
  const spans = literalSpans([range], profile);
  if (spans) return totalLength(spans);
  const length =
    "field" in range
      ? profile.fields.find(({ name }) => name === range.field)?.length
      : "length" in range
        ? range.length
        : undefined;
  return typeof length === "number" ? length : undefined;
}

function sidesProblems({ sides }: Pairing, names: readonly string[], { fields }: Profile): Problem[] {
  if (!sides) return [];
  const problems: Problem[] = [];
  const { left, right, field, values } = sides;
  if (left === right) {
    problems.push({ path: "pair.sides.right", message: `expected another name than ${left}, got the same` });
  }
  if ((field === undefined) !== (values === undefined)) {
    const got = field === undefined ? "values" : "field";
    problems.push({ path: "pair.sides", message: `expected field and values together, got ${got} alone` });
  }
  if (field !== undefined && fields.find(({ name }) => name === field)?.when) {
    problems.push({
      path: "pair.sides.field",
      message: "expected a field that is always there, got one with a condition",
    });
  }
  if (values) {
    problems.push(...incomplete(values, names, "pair.sides.values"));
    const [one, other] = Object.values(values);
    if (one !== undefined && String(one) === String(other)) {
      problems.push({ path: "pair.sides.values", message: `expected two different values, got ${one} twice` });
    }
  }
  return problems;
}

function incomplete(values: Readonly<Record<string, unknown>>, names: readonly string[], path: string): Problem[] {
  const keys = Object.keys(values);
  if (keys.length === 2 && names.every((name) => keys.includes(name))) return [];
  const got = keys.join(", ") || "none";
  return [{ path, message: `expected one value for each of ${names.join(", ")}, got ${got}` }];
}

function ruleProblems(rule: PairRule, names: readonly string[], profile: Profile): Problem[] {
  const lengthOfRanges = (ranges: readonly Range[]) => {
    const spans = literalSpans(ranges, profile);
    return spans && totalLength(spans);
  };
  const length = lengthOfRanges(rule.over);
  const problems: Problem[] = [];
  switch (rule.rule) {
    case "per-side":
      problems.push(...incomplete(rule.values, names, "values"));
      for (const [side, value] of Object.entries(rule.values)) {
        if (length !== undefined && value.length !== 2 * length) {
          problems.push({ path: `values.${side}`, message: `expected ${length} bytes, got ${value.length / 2}` });
        }
      }
      break;
    case "exchanged": {
      const other = lengthOfRanges(rule.with);
      if (length !== undefined && other !== undefined && length !== other) {
        problems.push({ path: "with", message: `expected ${length} bytes as in over, got ${other}` });
      }
      break;
    }
    case "reordered": {
      const all = rule.order.length;
      if (new Set(rule.order).size !== all || rule.order.some((element) => element >= all)) {
        problems.push({
          path: "order",
          message: `expected each of 0 to ${all - 1} once, got ${rule.order.join(", ")}`,
        });
      }
      if (length !== undefined && length !== all * rule.element) {
        problems.push({ path: "order", message: `expected ${length} bytes in all, got ${all} of ${rule.element}` });
      }
      break;
    }
    default:
  }
  return problems;
}
