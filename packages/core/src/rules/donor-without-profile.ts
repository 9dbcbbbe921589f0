import { finding } from "../findings/catalogue.js";
import { judgeSize } from "./donor-fit.js";
import type { DonorQuestion } from "./donor-question.js";
import { judgement, type Rule } from "./rule.js";

/** What can be asked of a source and a donor of which no profile says anything. */
export interface DonorWithoutProfileQuestion extends Pick<DonorQuestion, "sameFiles"> {
  /** In bytes, of the parts that were read whole. */
  readonly sizes: { readonly source: number | undefined; readonly donor: number | undefined };
}

export const donorWithoutProfileRules: readonly Rule<DonorWithoutProfileQuestion>[] = [
  {
    id: "donor/units-distinct",
    judge: ({ sameFiles }) =>
      judgement(
        sameFiles.map((same) => finding("donor/same-file", same, { role: same.second })),
        [],
      ),
  },
  { id: "donor/plan-known", judge: () => judgement([], [finding("donor/nothing-planned", {})]) },
  {
    id: "donor/part-fits",
    judge: ({ sizes: { source, donor } }) =>
      source === undefined || donor === undefined
        ? { outcome: "not-applicable", because: "a file may leave out some of its part" }
        : judgeSize({ standing: source === donor ? "same" : "different", source, donor }),
  },
];
