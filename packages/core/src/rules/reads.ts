import { totalLength } from "../bytes/span.js";
import { finding } from "../findings/catalogue.js";
import type { ReadsCompared } from "../soundness/reads.js";
import { judgement, type Rule } from "./rule.js";

/** One further read of a unit beside the first one. */
export interface FurtherRead {
  readonly first: string;
  readonly other: string;
  readonly role: string;
  readonly sameFile: boolean;
  readonly compared: ReadsCompared;
}

/** What the rules on several reads are asked of. */
export interface ReadsQuestion {
  readonly further: readonly FurtherRead[];
  /** Whether a profile says what a unit writes by itself. */
  readonly profiled: boolean;
}

/** Runs that a finding names at the most. */
const runsNamed = 8;

export const readsRules: readonly Rule<ReadsQuestion>[] = [
  {
    id: "soundness/reads-agree",
    judge: ({ further, profiled }) => {
      if (further.length === 0) return { outcome: "not-applicable", because: "one read was given" };
      const unequal = further.flatMap(({ first, other, role, compared: { bytes, runs, raised, lowered } }) => {
        const start = runs[0]?.start;
        if (bytes === 0 || start === undefined) return [];
        const facts = { first, other, bytes, runs: runs.length, at: start, raised, lowered };
        const code = profiled ? "soundness/reads-differ" : "soundness/reads-differ-unexplained";
        return [finding(code, facts, ...runs.slice(0, runsNamed).map((span) => ({ role, span })))];
      });
      const otherExtent = further.flatMap(({ first, other, role, compared: { oneSided } }) => {
        const span = oneSided[0];
        return span
          ? [finding("soundness/reads-of-other-extent", { first, other, bytes: totalLength(oneSided) }, { role, span })]
          : [];
      });
      const twice = further
        .filter(({ sameFile }) => sameFile)
        .map(({ first, other, role }) => finding("soundness/read-given-twice", { first, other }, { role }));
      return profiled ? judgement([...otherExtent, ...unequal], twice) : judgement(otherExtent, [...unequal, ...twice]);
    },
  },
];
