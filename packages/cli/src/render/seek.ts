import type { Certainty, FoundChecksum, SeekResult } from "@assay/core";
import type { Line } from "../terminal/paint.js";
import { countOf, showAddress } from "./numbers.js";
import { table } from "./table.js";
import { wrap } from "./wrap.js";

const columns = [
  { title: "algorithm" },
  { title: "over" },
  { title: "stored at" },
  { title: "as" },
  { title: "by chance", align: "right" },
] as const;

/** What a search found and where it looked, for people. */
export function renderSeek({ found, searched }: SeekResult, width: number): Line[] {
  const inset = (text: string) => `  ${text}`.trimEnd();
  const section = (title: string, lines: readonly Line[]): Line[] =>
    lines.length === 0 ? [] : ["", [{ text: title, style: "strong" }], "", ...lines];
  const rows = (wanted: Certainty) => {
    const some = found.filter(({ certainty }) => certainty === wanted);
    return some.length > 0 ? table(columns, some.map(row), width - 2).map(inset) : [];
  };
  return [
    [{ text: headline(found), style: "strong" }],
    ...section("Certain", rows("certain")),
    ...section("Likely", rows("likely")),
    ...section("May be chance", rows("chance")),
    ...section(
      "What next",
      advice(found).flatMap((text) => wrap(text, width - 2).map(inset)),
    ),
    ...section(
      "Searched",
      searchedLines(searched).flatMap((text) => wrap(text, width - 2).map(inset)),
    ),
  ];
}

function headline(found: readonly FoundChecksum[]): string {
  const count = (certainty: string) => found.filter((one) => one.certainty === certainty).length;
  if (found.length === 0) return "seek: no range was found that checks itself";
  return `seek: ${count("certain")} certain, ${count("likely")} likely, ${count("chance")} that may be chance`;
}

function row({ algorithm, ranges, mayBegin, mayEnd, stored, expectedByChance }: FoundChecksum): string[] {
  const { form, width, order, constant, inside, descriptor } = stored;
  const size = width === 8 ? "8-bit" : `${width}-bit ${order}`;
  const how = {
    value: size,
    complement: `${size}, complement`,
    negated: `${size}, negated`,
    "value-and-complement": `${size}, complement beside it`,
    "whole-comes-to-constant": `whole comes to ${constant}`,
  }[form];
  const notes = [
    inside ? "as zeros inside" : "",
    descriptor === undefined ? "" : `described at ${showAddress(descriptor)}`,
    mayBegin ? `begins anywhere in the fill from ${showAddress(mayBegin.from)} to ${showAddress(mayBegin.to)}` : "",
    mayEnd ? `ends anywhere in the fill from ${showAddress(mayEnd.from)} to ${showAddress(mayEnd.to)}` : "",
  ];
  return [
    algorithm,
    ranges.map(({ start, length }) => `${showAddress(start)}..${showAddress(start + length)}`).join(" and "),
    stored.place === "told" ? showAddress(stored.start) : untold(stored),
    [how, ...notes].filter((text) => text !== "").join(", "),
    showOdds(expectedByChance),
  ];
}

/** So many places are named; of more, the likeliest. */
const mostNamed = 4;

function untold({ start, possible }: FoundChecksum["stored"]): string {
  const { count = 0, at = [] } = possible ?? {};
  if (at.length > 0 && at.length <= mostNamed) return `not told: ${at.map(showAddress).join(" or ")}`;
  return `not told: ${count} words of the range may be it, perhaps ${showAddress(start)}`;
}

/** An expectation that is never shown as nothing. */
function showOdds(expected: number): string {
  if (expected >= 0.001) return `${Number(expected.toPrecision(2))}`;
  if (expected < 1e-30) return "under 1e-30";
  return expected.toExponential(0);
}

function advice(found: readonly FoundChecksum[]): string[] {
  const untoldPlaces = found.some(({ stored, certainty }) => stored.place === "not-told" && certainty !== "chance");
  return [...settling(found.filter(({ readsToSettle }) => readsToSettle > 0)), ...(untoldPlaces ? [confirmPlace] : [])];
}

const confirmPlace =
  "Where a place is not told, the range is as sure as it says, but nothing in the reads says which of its words is the value: confirm the place before a value is written there.";

function settling(open: readonly FoundChecksum[]): string[] {
  if (open.length === 0) return [];
  const most = Math.max(...open.map(({ readsToSettle }) => readsToSettle));
  const needed = most === 1 ? "One more read" : `${most} more reads`;
  return [
    `${needed} of the same family, with other content in these ranges, would make certain of what is not, or rule it out: give all of them at once.`,
  ];
}

function searchedLines({ bytes, images, algorithms, hypotheses, complete, tasks }: SeekResult["searched"]): string[] {
  if (bytes === 0) return ["No range of 64 bytes or more that all reads know."];
  const content = images === 1 ? "one content" : `${images} contents that differ`;
  const extent = complete
    ? "Everything planned was tried."
    : `Stopped early: ${tasks.done} of ${tasks.planned} searches were made.`;
  return [
    `${countOf(bytes, "byte")} in ${content}, ${algorithms} algorithms and forms, about ${hypotheses.toExponential(0)} hypotheses. ${extent}`,
    "By chance: how many as simple as this one chance alone would bring in this search. Certain is below 1e-6, likely below 0.01.",
  ];
}
