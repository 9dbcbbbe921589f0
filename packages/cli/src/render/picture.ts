import type { Report } from "@assay/core";
import { cellsOf } from "../terminal/cells.js";
import { type Run, showRun } from "./numbers.js";
import { type Scale, scaleOf } from "./scale.js";
import { sideBySide, wrap } from "./wrap.js";

type Region = NonNullable<Report["images"][number]["regions"]>[number];

type ContentRun = NonNullable<Report["images"][number]["content"]>[number];

/** What of a report is drawn. */
export interface Drawn extends Pick<Report, "findings" | "differences"> {
  readonly inputs: readonly Pick<Report["inputs"][number], "role" | "spans">[];
  readonly images: readonly Pick<Report["images"][number], "role" | "regions" | "content">[];
}

/** What stands under the memory, weightiest first, and what it says. */
const marks = [
  { sign: "!", says: "stop" },
  { sign: "?", says: "review" },
  { sign: "x", says: "differs without a reason" },
  { sign: ".", says: "differs for a reason" },
] as const;
type Sign = (typeof marks)[number]["sign"];

/** What a stretch of memory looks like: light signs for little in it, heavy ones for much. */
const kinds = {
  hole: { sign: " ", says: "" },
  fill: { sign: "_", says: "one value" },
  table: { sign: "~", says: "like tables" },
  text: { sign: '"', says: "text" },
  code: { sign: "%", says: "like code" },
  data: { sign: "+", says: "other content" },
  dense: { sign: "#", says: "like random bytes" },
} as const satisfies Record<ContentRun["kind"], { sign: string; says: string }>;

const noRegion = "-";
const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

/**
 * The memory as one line of letters to scale, under it what each file knows and where something was found. Small
 * regions are drawn one column wide, so that none is missing. Empty when the report knows no address.
 */
export function picture(report: Drawn, width: number): string[] {
  const indent = Math.max(6, ...report.inputs.map(({ role }) => cellsOf(role))) + 2;
  const regions = distinctRegions(report);
  const known = report.inputs.flatMap(({ spans }) => spans);
  const described = regions.flatMap(({ spans }) => spans);
  const scale = scaleOf(described.length > 0 ? [...described, ...boundsOf(known)] : known, known, width - indent);
  if (!scale) return [];
  const row = (label: string, cells: string) => `${label.padEnd(indent)}${cells}`.trimEnd();
  const marked = markRow(report, scale);
  const used = marks.filter(({ sign }) => marked.includes(sign)).map(({ sign, says }) => `${sign} ${says}`);
  const lettered = regions.length > 0 && regions.length <= letters.length;
  const lettersDrawn = letterRow(regions, scale);
  const looks = report.images.flatMap(({ role, content = [] }) => (content.length > 0 ? [{ role, content }] : []));
  const contentRows = looks.map(({ role, content }) =>
    row(looks.length > 1 ? role : "content", contentRow(content, scale)),
  );
  const seen = Object.entries(kinds).filter(
    ([kind, { says }]) => says !== "" && looks.some(({ content }) => content.some((one) => one.kind === kind)),
  );
  const legend = regions.map(({ name, role }, i) => `${letters[i]} ${name === role ? name : `${name} (${role})`}`);
  return [
    ...wrap(`Memory ${showRun(scale.bounds)}`, width),
    "",
    ...(lettered ? [row("region", lettersDrawn)] : []),
    ...(looks.length > 0 ? contentRows : report.inputs.map(({ role, spans }) => row(role, knownRow(spans, scale)))),
    ...(used.length > 0 ? [row("found", marked)] : []),
    "",
    ...(lettered ? sideBySide(legend, width) : []),
    ...sideBySide(
      [
        ...(report.inputs.length > 0 && looks.length === 0 ? ["= read"] : []),
        ...seen.map(([, { sign, says }]) => `${sign} ${says}`),
        ...(lettered && lettersDrawn.includes(noRegion) ? [`${noRegion} no region`] : []),
        ...(scale.broken ? [": left out, nothing is known there"] : []),
        ...used,
      ],
      width,
    ),
  ];
}

/** The regions of all images, each once: two units of one family lay them out alike. */
function distinctRegions({ images }: Drawn): Region[] {
  const seen = new Map<string, Region>();
  for (const region of images.flatMap((image) => image.regions ?? [])) {
    if (region.spans.length > 0) seen.set(JSON.stringify([region.name, region.spans]), region);
  }
  return [...seen.values()].sort((a, b) => startOf(a) - startOf(b));
}

/** From the first known byte to the last: what a file leaves out inside is no border. */
function boundsOf(runs: readonly Run[]): Run[] {
  if (runs.length === 0) return [];
  const start = runs.reduce((least, run) => Math.min(least, run.start), Number.POSITIVE_INFINITY);
  const end = runs.reduce((most, run) => Math.max(most, run.start + run.length), 0);
  return [{ start, length: end - start }];
}

function startOf({ spans }: Region): number {
  return Math.min(...spans.map(({ start }) => start));
}

function letterRow(regions: readonly Region[], scale: Scale): string {
  const cells = scale.blank(noRegion);
  for (const [i, { spans }] of regions.entries())
    for (const span of spans) fill(cells, scale, span, letters[i] as string);
  return cells.join("");
}

function knownRow(spans: readonly Run[], scale: Scale): string {
  const cells = scale.blank(" ");
  for (const span of spans) fill(cells, scale, span, "=");
  return cells.join("");
}

function contentRow(content: readonly ContentRun[], scale: Scale): string {
  const cells = scale.blank(" ");
  for (const run of content) fill(cells, scale, run, kinds[run.kind].sign);
  return cells.join("");
}

function markRow({ findings, differences = [] }: Drawn, scale: Scale): string {
  const cells = scale.blank(" ");
  const put = (run: Run, sign: Sign) => fill(cells, scale, run, sign);
  // The weightiest comes last and stands over the others.
  for (const run of differences) if (run.explained) put(run, ".");
  for (const run of differences) if (!run.explained) put(run, "x");
  for (const [severity, sign] of [
    ["review", "?"],
    ["stop", "!"],
  ] as const) {
    for (const { where } of findings.filter((one) => one.severity === severity)) {
      for (const { start, length } of where) if (start !== undefined) put({ start, length: length ?? 1 }, sign);
    }
  }
  return cells.join("");
}

function fill(cells: string[], scale: Scale, run: Run, sign: string): void {
  const columns = scale.columnsOf(run);
  if (columns) cells.fill(sign, columns.first, columns.last + 1);
}
