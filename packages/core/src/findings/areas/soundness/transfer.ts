import { bytes, hexByte } from "../../amounts.js";
import type { Entries } from "../../finding.js";
import { also, type Evidence, percent } from "./evidence.js";

/** What text handling on the way does to a file. */
export interface TransferFacts {
  "soundness/text-mode-transfer": Evidence & { readonly change: "return-added" | "return-dropped" };
  "soundness/line-ends-doubtful": Evidence;
  "soundness/byte-values-missing": Evidence & { readonly value: number };
  "soundness/byte-value-doubtful": Evidence & { readonly value: number };
  "soundness/re-encoded": Evidence & { readonly replacements: number };
}

const since = "0.1.0";

export const transferEntries: Entries<TransferFacts> = {
  "soundness/text-mode-transfer": {
    severity: "stop",
    title: "The file went through a transfer in text mode",
    says: (facts) =>
      facts.change === "return-added"
        ? `a carriage return stands before ${percent(facts.measured)} of ${facts.of} line feeds (${percent(facts.threshold)} count)${also(facts)}`
        : `no carriage return occurs where at least ${facts.measured} would be expected by its neighbours (${facts.threshold} count)${also(facts)}`,
    expected: () => "line ends as chance and content have them",
    found: ({ change }) => (change === "return-added" ? "a return before every line feed" : "no return anywhere"),
    why: "Bytes were added or taken out everywhere; behind the first one nothing stands at its address.",
    next: "Get the file again in binary mode or inside an archive. Taking the bytes out again is guesswork.",
    since,
  },
  "soundness/line-ends-doubtful": {
    severity: "review",
    title: "No pair of return and line feed occurs",
    says: (facts) =>
      `no pair occurs where chance alone would make ${facts.measured} (${facts.threshold} count)${also(facts)}`,
    expected: () => "some pairs",
    found: () => "none",
    why: "A transfer in text mode that shortens line ends takes just these bytes out.",
    next: "Hold the size of the file against that of the part, and get it again in binary mode.",
    since,
  },
  "soundness/byte-values-missing": {
    severity: "stop",
    title: "A byte value does not occur at all",
    says: (facts) =>
      `${hexByte(facts.value)} does not occur in ${bytes(facts.of)}, where its neighbours let expect at least ${facts.measured} (${facts.threshold} count)${also(facts)}`,
    expected: ({ measured }) => `at least ${measured} occurrences`,
    found: () => "none",
    why: "Text-mode transfers, terminals and editors swallow this value or stop at it.",
    next: "Get the file again in binary mode or inside an archive.",
    since,
  },
  "soundness/byte-value-doubtful": {
    severity: "review",
    title: "A byte value that could be expected does not occur",
    says: (facts) =>
      `${hexByte(facts.value)} does not occur in ${bytes(facts.of)}, where its neighbours let expect at least ${facts.measured} (${facts.threshold} count)${also(facts)}`,
    expected: ({ measured }) => `at least ${measured} occurrences`,
    found: () => "none",
    why: "Text-mode transfers, terminals and editors swallow this value or stop at it; a small image can also lack it by chance.",
    next: "Hold the size of the file against that of the part, and get it again in binary mode.",
    since,
  },
  "soundness/re-encoded": {
    severity: "stop",
    title: "The file went through a conversion of text",
    says: (facts) =>
      `${percent(facts.measured)} of ${bytes(facts.of)} from 0x80 on form characters of UTF-8 (${percent(facts.threshold)} count), ${facts.replacements} of them replacement characters${also(facts)}`,
    expected: () => "bytes from 0x80 on that form no text",
    found: ({ replacements }) => (replacements > 0 ? "replacement characters" : "two bytes for one"),
    why: "Bytes were doubled or replaced; replaced ones are lost.",
    next: "Get the file again as it came from the reader, never through an editor or a text field.",
    since,
  },
};
