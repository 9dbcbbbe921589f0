import { totalLength } from "../../bytes/span.js";
import type { Pairing, PairRule } from "../schema/pair.js";
import type { Profile } from "../schema/profile.js";
import type { Range } from "../schema/quantity.js";
import { literalSpans } from "./literal.js";
import type { Problem } from "./problem.js";

/** Sides that are no two, values for other sides, and rules whose parts do not fit one another. */
export function pairProblems(profile: Profile): Problem[] {
  const { pair } = profile;
  if (!pair) return [];
  const names = pair.sides ? [pair.sides.left, pair.sides.right] : ["left", "right"];
  return [
    ...sidesProblems(pair, names, profile),
    ...pair.rules.flatMap((rule, i) =>
      ruleProblems(rule, names, profile).map(({ path, message }) => ({ path: `pair.rules[${i}].${path}`, message })),
    ),
  ];
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
