import { catalogue, isFindingCode, isRefusalCode, Refusal, refusals, type Severity } from "@assay/core";
import { DONE } from "../exit-code.js";
import { nearest } from "../nearest.js";
import { type AnswerWishes, outputWidth, print, printJson } from "../output.js";
import { withOptions } from "../render/options-for.js";
import { hanging, wrap } from "../render/wrap.js";
import type { Line } from "../terminal/paint.js";
import type { World } from "../world.js";

/** What is told of a code: of a finding, or of what a command ends with when it cannot be carried out. */
interface Entry {
  readonly severity: Severity | "refused";
  readonly title: string;
  readonly why?: string;
  readonly next: string;
  readonly since?: string;
}

/** Says what a code means and what to do; without one, which there are. */
export async function explain(world: World, code: string | undefined, wishes: AnswerWishes): Promise<number> {
  const codes = code === undefined ? [...Object.keys(catalogue), ...Object.keys(refusals)] : [code];
  const entries = codes.map((each) => ({ code: each, ...entryOf(each) }));
  if (wishes.json) await printJson(world, { schema: "assay.explain/1", codes: entries });
  else {
    const width = outputWidth(world);
    await print(world, code === undefined ? listLines(entries, width) : entryLines(entries, width), wishes);
  }
  return DONE;
}

function entryOf(code: string): Entry {
  if (isFindingCode(code)) {
    const { severity, title, why, next, since } = catalogue[code];
    return { severity, title, why, next, since };
  }
  if (isRefusalCode(code)) return { severity: "refused", ...refusals[code] };
  const near = nearest(code, [...Object.keys(catalogue), ...Object.keys(refusals)]);
  const hint = near === undefined ? "assay explain lists all of them" : `did you mean ${near}?`;
  throw new Refusal("explain/code-unknown", `expected the code of a finding or a refusal, got ${code}; ${hint}`);
}

type Named = Entry & { readonly code: string };

function entryLines(entries: readonly Named[], width: number): Line[] {
  return entries.flatMap(({ code, severity, title, why, next, since }) => [
    ...wrap(title, width).map((text): Line => [{ text, style: "strong" }]),
    "",
    ...hanging("code", 10, code, width),
    [
      `${"severity".padEnd(10)}`,
      { text: severity, style: styleOf(severity) },
      ...(severity === "refused" ? [": the command could not be carried out"] : []),
    ],
    ...(why === undefined ? [] : hanging("why", 10, why, width)),
    ...hanging("next", 10, withOptions(code, next), width),
    ...(since === undefined ? [] : hanging("since", 10, since, width)),
  ]);
}

function styleOf(severity: Entry["severity"]): "plain" | "stop" | "review" {
  return severity === "stop" || severity === "review" ? severity : "plain";
}

function listLines(entries: readonly Named[], width: number): Line[] {
  const indent = 8;
  return [...entries]
    .sort((a, b) => (a.code < b.code ? -1 : 1))
    .flatMap(({ code, severity, title }, i, all): Line[] => {
      const area = (each: Named | undefined) => each?.code.split("/")[0];
      const [first = "", ...more] = hanging(severity, indent, `${code}  ${title}`, width);
      return [
        ...(i > 0 && area(all[i - 1]) !== area(all[i]) ? [""] : []),
        [{ text: first.slice(0, severity.length), style: styleOf(severity) }, first.slice(severity.length)],
        ...more,
      ];
    });
}
