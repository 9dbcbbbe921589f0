import type { KeptBoard } from "../findings/areas/donor.js";
import { finding } from "../findings/catalogue.js";
import { judgement, type Rule } from "./rule.js";

/** Asked of what differs from the twin because it stays the donor's. */
export const donorTwinRules: readonly Rule<KeptBoard>[] = [
  {
    id: "donor/board-told",
    judge: (kept) =>
      judgement(
        [],
        [],
        kept.numbers.length > 0 || kept.regions.length > 0
          ? [finding("donor/twin-differs-by-donor", kept, { role: "composed" })]
          : [],
      ),
  },
];
