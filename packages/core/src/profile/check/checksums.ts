import { type Algorithm, algorithmOf } from "../../algorithms/algorithm.js";
import { contains, firstTwice, overlap, type Span } from "../../bytes/span.js";
import { Refusal } from "../../findings/refusal.js";
import type { ChecksumRule } from "../schema/checksum.js";
import type { Profile } from "../schema/profile.js";
import { literalPlace, literalSpans } from "./literal.js";
import { type Problem, shown } from "./problem.js";

/** Algorithms that do not exist, values that do not fit, and stored values that lie where they cannot hold. */
export function checksumProblems(profile: Profile): Problem[] {
  return [...storedProblems(profile), ...statedProblems(profile)];
}

function statedProblems(profile: Profile): Problem[] {
  return profile.statedChecksums.flatMap((rule, i) => {
    const path = `statedChecksums[${i}]`;
    const algorithm = algorithmNamed(rule);
    if (typeof algorithm === "string") return [{ path: `${path}.algorithm`, message: algorithm }];
    const twice = twiceProblems(rule, algorithm, profile);
    if (twice.length > 0) return twice.map(({ path: key, message }) => ({ path: `${path}.${key}`, message }));
    if (BigInt(`0x${rule.value}`) >> BigInt(algorithm.width) === 0n) return [];
    return [{ path: `${path}.value`, message: `expected a value of ${algorithm.width} bits, got ${rule.value}` }];
  });
}

function storedProblems(profile: Profile): Problem[] {
  return profile.checksums.flatMap((rule, i) => {
    const path = `checksums[${i}]`;
    const algorithm = algorithmNamed(rule);
    if (typeof algorithm === "string") return [{ path: `${path}.algorithm`, message: algorithm }];
    const under = ({ path: key, message }: Problem) => ({ path: `${path}.${key}`, message });
    return [
      ...valueProblems(rule, algorithm),
      ...twiceProblems(rule, algorithm, profile),
      ...placeProblems(rule, algorithm, profile),
    ].map(under);
  });
}

function algorithmNamed({ algorithm }: Pick<ChecksumRule, "algorithm">): Algorithm | string {
  try {
    return algorithmOf(algorithm);
  } catch (error) {
    if (error instanceof Refusal || error instanceof RangeError) return error.message.replace(/^[a-z ]+: /, "");
    throw error;
  }
}

/** What goes in twice can cancel out: then a checksum holds whatever stands there. Not so a hash. */
function twiceProblems({ over }: Pick<ChecksumRule, "over">, { kind }: Algorithm, profile: Profile): Problem[] {
  const twice = kind === "hash" ? undefined : firstTwice(literalSpans(over, profile) ?? []);
  return twice ? [{ path: "over", message: `expected places that do not overlap, got ${shown(twice)} twice` }] : [];
}

function valueProblems({ stored }: ChecksumRule, { width }: Algorithm): Problem[] {
  const problems: Problem[] = [];
  const least = Math.ceil(width / 8);
  if (stored.bytes !== undefined && stored.bytes < least) {
    problems.push({ path: "stored.bytes", message: `expected at least ${least} bytes, got ${stored.bytes}` });
  }
  if (stored.constant === undefined) return problems;
  const path = "stored.constant";
  if (stored.form !== "whole-comes-to-constant") {
    problems.push({ path, message: `expected the form whole-comes-to-constant beside it, got ${stored.form}` });
  } else if (stored.constant >> BigInt(width) !== 0n) {
    problems.push({ path, message: `expected a value of ${width} bits, got 0x${stored.constant.toString(16)}` });
  }
  return problems;
}

function placeProblems(rule: ChecksumRule, { width }: Algorithm, profile: Profile): Problem[] {
  const { stored, inside } = rule;
  const whole = stored.form === "whole-comes-to-constant";
  if (whole && inside !== undefined) {
    return [{ path: "inside", message: "expected nothing beside whole-comes-to-constant, got a way to leave it out" }];
  }
  const size = stored.bytes ?? Math.ceil(width / 8);
  const at = literalPlace(stored.at, stored.form === "value-and-complement" ? 2 * size : size);
  const over = literalSpans(rule.over, profile);
  if (!at || !over) return [];
  const path = "stored.at";
  if (whole && over.filter((span) => contains(span, at)).length !== 1) {
    return [{ path, message: `expected a place inside what is covered (${list(over)}), once, got ${shown(at)}` }];
  }
  if (!whole && inside === undefined && over.some((span) => overlap(span, at))) {
    const ways = '"leave-out", {"fill": ...} or the form whole-comes-to-constant';
    return [{ path, message: `expected a place outside what is covered, or inside: ${ways}; got ${shown(at)}` }];
  }
  return [];
}

function list(spans: readonly Span[]): string {
  return spans.slice(0, 4).map(shown).join(", ") + (spans.length > 4 ? " ..." : "");
}
