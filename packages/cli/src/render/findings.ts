import type { Report, ReportFinding } from "@assay/core";
import type { Line, Style } from "../terminal/paint.js";
import { showAddress, showRun } from "./numbers.js";
import { hanging } from "./wrap.js";

type Severity = ReportFinding["severity"];

const order: readonly Severity[] = ["stop", "review", "note"];
const styles: Readonly<Record<Severity, Style>> = { stop: "stop", review: "review", note: "strong" };

const margin = 8;
const labelled = 18;

/** Places of one finding that are listed; the JSON has all that the report knows. */
const placesShown = 3;

/** The findings, weightiest first, each with its evidence, its places and its advice. */
export function findingLines(report: Report, width: number): Line[] {
  const lines: Line[] = [];
  let advice = "";
  for (const severity of order) {
    for (const finding of report.findings.filter((one) => one.severity === severity)) {
      if (lines.length > 0) lines.push("");
      lines.push(...oneFinding(report, finding, advice, width));
      advice = finding.advice;
    }
  }
  return lines;
}

function oneFinding(report: Report, finding: ReportFinding, adviceAbove: string, width: number): Line[] {
  const { severity, title, code, detail, expected, found, advice } = finding;
  const [head = "", ...further] = hanging(severity, margin, `${title} (${code})`, width);
  const entry = (label: string, text: string) => hanging(" ".repeat(margin) + label, labelled, text, width);
  const all = finding.where.map((place) => showPlace(report, place)).filter((place) => place !== "");
  const more = all.length - placesShown;
  const places = more > 1 ? [...all.slice(0, placesShown), `and ${more} more places`] : all;
  return [
    [{ text: head.slice(0, severity.length), style: styles[severity] }, head.slice(severity.length)],
    ...further,
    ...hanging("", margin, detail, width),
    ...places.flatMap((place, i) => entry(i === 0 ? "where" : "", place)),
    ...(expected === null ? [] : entry("expected", expected)),
    ...(found === null ? [] : entry("found", found)),
    ...entry("next", advice === adviceAbove ? "as above" : advice),
  ];
}

/** A place in words: whose, which addresses, in which region with which role, and where in the file. */
function showPlace({ images }: Report, place: ReportFinding["where"][number]): string {
  const { role, start, length, region, line, offset } = place;
  const owner = images.find((image) => image.role === role) ?? images[0];
  const purpose = owner?.regions?.find(({ name }) => name === region)?.role;
  const addresses =
    start === undefined ? undefined : length === undefined ? showAddress(start) : showRun({ start, length });
  return [
    [role, addresses].filter((part) => part !== undefined).join(" "),
    region === undefined ? "" : `region ${region}${purpose === undefined || purpose === region ? "" : ` (${purpose})`}`,
    line === undefined ? "" : `line ${line}`,
    offset === undefined ? "" : `offset ${offset}`,
  ]
    .filter((part) => part !== "")
    .join(", ");
}
