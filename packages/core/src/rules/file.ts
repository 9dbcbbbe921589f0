import { entryOf, type Finding } from "../findings/catalogue.js";
import { judgement, type Rule } from "./rule.js";

/** What the decoder saw on its way through a file. */
export interface FileQuestion {
  readonly findings: readonly Finding[];
}

export const fileRules: readonly Rule<FileQuestion>[] = [
  {
    id: "file/well-formed",
    judge: ({ findings }) => {
      const of = (severity: "stop" | "review" | "note") => findings.filter((one) => entryOf(one).severity === severity);
      return judgement(of("stop"), of("review"), of("note"));
    },
  },
];
