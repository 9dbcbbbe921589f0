import { entryOf, type Finding } from "../findings/catalogue.js";
import type { Severity } from "../findings/finding.js";
import type { Check } from "../rules/rule.js";

export type Verdict = "clear" | "review" | "stop";

const weights: Readonly<Record<Severity, number>> = { note: 0, review: 1, stop: 2 };

/** Severities that a profile raises, by code. */
export type Raised = Readonly<Partial<Record<string, Severity>>>;

/** How much `subject` weighs: the catalogue's severity, or what the profile raises it to; never less. */
export function severityOf(subject: Finding, raised: Raised = {}): Severity {
  const own = entryOf(subject).severity;
  const other = raised[subject.code];
  return other && weights[other] > weights[own] ? other : own;
}

/**
 * The one word for a whole run: `stop` when a finding contradicts; `clear` when at least one rule applied, all that
 * applied passed and no finding asks for a review; `review` in every other case. Clear is earned, never assumed.
 */
export function verdictOf(checks: readonly Check[], findings: readonly Finding[], raised: Raised = {}): Verdict {
  const worst = findings.reduce((most, subject) => Math.max(most, weights[severityOf(subject, raised)]), weights.note);
  if (worst === weights.stop) return "stop";
  const applied = checks.filter((check) => check.judgement.outcome !== "not-applicable");
  const passed = applied.every((check) => check.judgement.outcome === "pass");
  return worst === weights.note && applied.length > 0 && passed ? "clear" : "review";
}
