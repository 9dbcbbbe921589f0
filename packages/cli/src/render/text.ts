import type { Report, Verdict } from "@assay/core";
import type { Line } from "../terminal/paint.js";
import { findingLines } from "./findings.js";
import { countOf } from "./numbers.js";
import { overviewLines } from "./overview.js";
import { picture } from "./picture.js";
import { planLines } from "./plan.js";
import { safe } from "./safe.js";
import { hanging, wrap } from "./wrap.js";

/** What each verdict means, in one sentence. */
const meanings: Readonly<Record<Verdict, string>> = {
  clear: "Every check that this command stands for could be made, and held.",
  review: "Nothing contradicts, but something that matters could not be established.",
  stop: "At least one thing contradicts.",
};

/** What follows from each verdict for whoever reads it. */
const nextSteps: Readonly<Record<Verdict, string>> = {
  clear: "Nothing found speaks against it. Mind the cautions below, and keep this report with the files.",
  review:
    "Settle each point marked review as it advises, then run the command again. What stays open, a person decides.",
  stop: "Write and fit nothing until each point marked stop is settled; then read again and run the command again.",
};

/** The verdict alone, as one line. */
export function verdictLine({ command, verdict }: Report): Line {
  return [`${command}: `, { text: verdict, style: verdict }];
}

/** The whole report for people, in lines of at most `width` columns where no single word is wider. */
export function renderText(report: Report, width: number): Line[] {
  const shown = safe(report);
  const inset = (text: string) => `  ${text}`.trimEnd();
  const section = (title: string, lines: readonly Line[]): Line[] =>
    lines.length === 0 ? [] : ["", [{ text: title, style: "strong" }], "", ...lines];
  const drawing = picture(shown, width - 2).map(inset);
  return [
    verdictLine(shown),
    ...wrap(meanings[shown.verdict], width),
    ...tally(shown).flatMap((line) => wrap(line, width)),
    ...section("Why", findingLines(shown, width)),
    ...section("What next", hanging("", 2, nextSteps[shown.verdict], width)),
    ...section("Plan", planLines(shown, width - 2).map(inset)),
    ...section("Memory", drawing),
    ...overviewLines(shown, width).flatMap(({ title, lines }) => section(title, lines.map(inset))),
    ...section("Record", recordLines(shown, width)),
    ...section(
      "Cautions",
      (shown.cautions ?? []).flatMap((caution) => hanging("  -", 4, caution, width)),
    ),
  ];
}

/** Where the run was entered. The digest stands alone in its line: it is what somebody notes elsewhere. */
function recordLines({ record }: Report, width: number): string[] {
  if (!record) return [];
  return [
    ...hanging("", 2, `entered in ${record.name} as entry ${record.entry}, with the digest`, width),
    `  ${record.digest}`,
  ];
}

/** How many findings there are of each weight. */
function tally({ findings }: Report): string[] {
  const count = (severity: string) => findings.filter((one) => one.severity === severity).length;
  const parts = [
    [count("stop"), `${count("stop")} to stop for`],
    [count("review"), `${count("review")} to review`],
    [count("note"), countOf(count("note"), "note")],
  ] as const;
  const said = parts.filter(([number]) => number > 0).map(([, text]) => text);
  return said.length > 0 ? [`Found: ${said.join(", ")}.`] : [];
}
