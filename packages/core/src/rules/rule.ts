import type { Finding } from "../findings/catalogue.js";

/** What a rule says. `fail` and `unknown` cannot be said without saying what was seen; `pass` may carry notes. */
export type Judgement =
  | { readonly outcome: "pass"; readonly findings?: readonly Finding[] }
  | { readonly outcome: "fail" | "unknown"; readonly findings: readonly [Finding, ...Finding[]] }
  | { readonly outcome: "not-applicable"; readonly because: string };

/** One question: facts in, a judgement out. Its id is `area/what-must-hold`. It measures nothing and reads no bytes. */
export interface Rule<Facts> {
  readonly id: string;
  readonly judge: (facts: Facts) => Judgement;
}

/**
 * The judgement that follows from what was found wrong and from what could not be told: `fail` when anything is
 * wrong, else `unknown` when anything is open, else `pass` with `notes`.
 */
export function judgement(
  wrong: readonly Finding[],
  open: readonly Finding[],
  notes: readonly Finding[] = [],
): Judgement {
  const all = [...wrong, ...open, ...notes];
  if (wrong.length > 0) return { outcome: "fail", findings: all as [Finding, ...Finding[]] };
  if (open.length > 0) return { outcome: "unknown", findings: all as [Finding, ...Finding[]] };
  return { outcome: "pass", findings: notes };
}

/** A rule that was asked, of whom, and what it said. */
export interface Check {
  readonly rule: string;
  /** The role it was asked of, or `both`. */
  readonly subject: string;
  readonly judgement: Judgement;
}

/** What a check found; nothing where it was not asked. */
export function findingsOf({ judgement: said }: Check): readonly Finding[] {
  return said.outcome === "not-applicable" ? [] : (said.findings ?? []);
}

/** Every rule of `rules` asked of `facts`, in order. */
export function ask<Facts>(rules: readonly Rule<Facts>[], subject: string, facts: Facts): Check[] {
  return rules.map((rule) => ({ rule: rule.id, subject, judgement: rule.judge(facts) }));
}
