import { finding } from "../findings/catalogue.js";
import type { IdentifierPlace } from "../names/identifier.js";
import { judgement, type Rule } from "./rule.js";

/** What the rule on a description of names is asked of, image by image. */
export interface NamesQuestion {
  readonly file: string;
  readonly identifier: string | undefined;
  /** Each place where the identifier must stand. */
  readonly places: readonly IdentifierPlace[];
}

export const namesRules: readonly Rule<NamesQuestion>[] = [
  {
    id: "names/of-this-software",
    judge: ({ file, identifier, places }) => {
      const untold = (why: "no-identifier" | "no-address" | "not-read") =>
        judgement([], [], [finding("names/software-untold", { file, why })]);
      if (identifier === undefined) return untold("no-identifier");
      if (places.length === 0) return untold("no-address");
      const others = places.filter(({ fits }) => fits === false);
      if (others.length === 0 && places.some(({ fits }) => fits === undefined)) return untold("not-read");
      return judgement(
        [],
        others.map(({ span, found }) =>
          finding("names/other-software", { file, identifier, address: span.start, found }, { span }),
        ),
      );
    },
  },
];
