import type { Report, ReportFinding } from "@assay/core";
import type { Line, Style } from "../terminal/paint.js";
import { showAddress, showRun } from "./numbers.js";
import { withOptions } from "./options-for.js";
import { hanging } from "./wrap.js";

type Severity = ReportFinding["severity"];

const order: readonly Severity[] = ["stop", "review", "note"];
const styles: Readonly<Record<Severity, Style>> = { stop: "stop", review: "review", note: "strong" };

const margin = 8;
const labelled = 18;

/** Places of one finding that are listed; the JSON has all that the report knows. */
const placesShown = 3;

/** The parts of a report that its findings are shown from. */
type Found = Pick<Report, "findings" | "images">;

/** The findings, weightiest first, those of one code together, each with its evidence, its places and its advice. */
export function findingLines(report: Found, width: number): Line[] {
  const lines: Line[] = [];
  let adviceAbove = "";
  for (const severity of order) {
    const groups = new Map<string, ReportFinding[]>();
    for (const finding of report.findings.filter((one) => one.severity === severity)) {
      const key = JSON.stringify([finding.code, finding.title, finding.advice]);
      groups.set(key, [...(groups.get(key) ?? []), finding]);
    }
    for (const group of groups.values()) {
      const { code, advice: advised } = group[0] as ReportFinding;
      const advice = withOptions(code, advised);
      lines.push(...(lines.length > 0 ? [""] : []), ...groupLines(report, group, width));
      lines.push(...entry("next", advice === adviceAbove ? "as above" : advice, width));
      adviceAbove = advice;
    }
  }
  return lines;
}

/** One title over all that was found of that kind. */
function groupLines(report: Found, group: readonly ReportFinding[], width: number): Line[] {
  const { severity, title, code } = group[0] as ReportFinding;
  const [head = "", ...further] = hanging(severity, margin, `${title} (${code})`, width);
  return [
    [{ text: head.slice(0, severity.length), style: styles[severity] }, head.slice(severity.length)],
    ...further,
    ...eachOnce(group.map((finding) => evidence(report, finding, width))).flat(),
  ];
}

/** The blocks without those that say the very same: what is true of two files alike is told once. */
function eachOnce(blocks: readonly string[][]): string[][] {
  return [...new Map(blocks.map((block) => [block.join("\n"), block])).values()];
}

function evidence(report: Found, { detail, where, expected, found }: ReportFinding, width: number): string[] {
  const all = where.map((place) => showPlace(report, place)).filter((place) => place !== "");
  const more = all.length - placesShown;
  const places = more > 1 ? [...all.slice(0, placesShown), `and ${more} more with --json`] : all;
  return [
    ...hanging("", margin, detail, width),
    ...places.flatMap((place, i) => entry(i === 0 ? "where" : "", place, width)),
    ...(expected === null ? [] : entry("expected", expected, width)),
    ...(found === null ? [] : entry("found", found, width)),
  ];
}

function entry(label: string, text: string, width: number): string[] {
  return hanging(" ".repeat(margin) + label, labelled, text, width);
}

/** A place in words: whose, which addresses, in which region with which role, and where in the file. */
function showPlace({ images }: Found, place: ReportFinding["where"][number]): string {
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
