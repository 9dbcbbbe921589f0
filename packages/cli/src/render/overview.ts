import type { Report } from "@assay/core";
import { nameLines } from "./names.js";
import { countOf, showAddress, showShare } from "./numbers.js";
import { type Column, table } from "./table.js";
import { tableLines } from "./tables.js";
import { hanging } from "./wrap.js";

export interface Section {
  readonly title: string;
  readonly lines: readonly string[];
}

/** Digits of a file's digest that are shown beside its name: enough to tell files apart, the JSON has all of them. */
const digestShown = 12;

/** What was given and what was measured, as tables. A section without content is left out. */
export function overviewLines(report: Report, width: number): Section[] {
  const inside = width - 2;
  const sections: Section[] = [
    { title: "Files", lines: inputLines(report, inside) },
    { title: "Identity", lines: byImage(report, "field", ({ identity }) => identity, inside) },
    { title: "Checksums", lines: checksumLines(report, inside) },
    { title: "Fingerprints", lines: fingerprintLines(report, inside) },
    { title: "Differences", lines: differenceLines(report, inside) },
    { title: "Names", lines: nameLines(report, inside) },
    { title: "Tables", lines: tableLines(report, inside) },
    { title: "Checks", lines: checkLines(report, inside) },
  ];
  return sections.filter(({ lines }) => lines.length > 0);
}

function inputLines({ inputs, profile, images }: Report, width: number): string[] {
  const columns: Column[] = [
    { title: "role" },
    { title: "name" },
    { title: "format" },
    { title: "bytes", align: "right" },
    { title: "sha256 begins" },
  ];
  const rows = inputs.flatMap(({ role, name, format, bytes, sha256, packed, parts }) => [
    [
      role,
      parts ? `${parts.length} part files` : name,
      packed === undefined ? format : `${format} in ${packed}`,
      String(bytes),
      sha256.slice(0, digestShown),
    ],
    ...(parts ?? []).map((part, at) => [
      `part ${at + 1}`,
      part.name,
      "",
      String(part.bytes),
      part.sha256.slice(0, digestShown),
    ]),
  ]);
  const processors = processorLines(images, width);
  const sides = images.flatMap(({ role, side }) => (side ? [`${role} unit is coded ${side}`] : []));
  return [
    ...table(columns, rows, width),
    ...(sides.length > 0 ? ["", ...hanging("", 0, sides.join(", "), width)] : []),
    "",
    ...hanging("profile", processors.length > 0 ? 11 : 9, profile ? `${profile.id}: ${profile.title}` : "none", width),
    ...processors,
  ];
}

/** What each read is for: told once where all reads agree. */
function processorLines(images: Report["images"], width: number): string[] {
  const told = images.flatMap(({ role, processor }) => {
    if (!processor) return [];
    const { name, certainty, because } = processor;
    return [{ role, text: `${name ?? "unknown"} (${[...(name ? [certainty] : []), ...because].join("; ")})` }];
  });
  const same = told.every(({ text }) => text === told[0]?.text);
  const lines = same ? told.slice(0, 1).map(({ text }) => text) : told.map(({ role, text }) => `${role}: ${text}`);
  return lines.flatMap((line, i) => hanging(i === 0 ? "processor" : "", 11, line, width));
}

/** More images than this stand beside each other only where every value is short. */
const mostColumns = 3;

/** One row a name and one column an image, so that two units stand side by side. */
function byImage(
  { images }: Report,
  title: string,
  valuesOf: (image: Report["images"][number]) => Readonly<Record<string, string>>,
  width: number,
): string[] {
  const names = [...new Set(images.flatMap((image) => Object.keys(valuesOf(image))))];
  if (names.length === 0) return [];
  if (images.length > mostColumns) return byValue(images, names, valuesOf, width);
  const columns = [{ title }, ...images.map(({ role }) => ({ title: role }))];
  const rows = names.map((name) => [name, ...images.map((image) => valuesOf(image)[name] ?? "not known")]);
  return table(columns, rows, width);
}

/** One line a name: each value once, with whose it is. */
function byValue(
  images: Report["images"],
  names: readonly string[],
  valuesOf: (image: Report["images"][number]) => Readonly<Record<string, string>>,
  width: number,
): string[] {
  const indent = Math.max(...names.map((name) => name.length)) + 2;
  return names.flatMap((name) => {
    const owners = new Map<string, string[]>();
    for (const image of images) {
      const value = valuesOf(image)[name] ?? "not known";
      owners.set(value, [...(owners.get(value) ?? []), image.role]);
    }
    const told = [...owners].map(([value, roles]) => (owners.size === 1 ? value : `${value} (${roles.join(", ")})`));
    return hanging(name, indent, told.join("; "), width);
  });
}

function checksumLines({ images }: Report, width: number): string[] {
  const rows = images.flatMap(({ role, checksums }) =>
    checksums.map(({ name, status, algorithm, stored, computed }) => [
      role,
      name,
      status,
      algorithm,
      stored ?? "not known",
      computed ?? "not known",
    ]),
  );
  const coverage = images
    .filter(({ checksums }) => checksums.length > 0)
    .flatMap(({ role, coverage: { checksummed, described } }) =>
      hanging(
        "",
        0,
        `${role}: ${showShare(checksummed)} of the bytes are under a checksum, ${showShare(described)} are described`,
        width,
      ),
    );
  if (rows.length === 0) return [];
  const columns = ["unit", "name", "status", "algorithm", "stored", "computed"].map((title) => ({ title }));
  return [...table(columns, rows, width), "", ...coverage];
}

function fingerprintLines(report: Report, width: number): string[] {
  return byImage(
    report,
    "part",
    ({ fingerprints, shortFingerprints = {} }) =>
      Object.fromEntries(
        Object.entries(fingerprints).map(([part, digest]) => [part, shortFingerprints[part] ?? digest]),
      ),
    width,
  );
}

function differenceLines({ differences = [], differencesLeftOut = 0 }: Report, width: number): string[] {
  const groups = new Map<string, { region: string; rule: string; runs: number; bytes: number; first: number }>();
  for (const { start, length, region, explained, rule } of differences) {
    const key = JSON.stringify([region, explained, rule]);
    const group = groups.get(key) ?? {
      region: region ?? "none",
      rule: explained ? (rule ?? "explained") : "no reason known",
      runs: 0,
      bytes: 0,
      first: start,
    };
    group.runs++;
    group.bytes += length;
    groups.set(key, group);
  }
  if (groups.size === 0) return [];
  const columns: Column[] = [
    { title: "region" },
    { title: "runs", align: "right" },
    { title: "bytes", align: "right" },
    { title: "first" },
    { title: "because" },
  ];
  const rows = [...groups.values()].map(({ region, runs, bytes, first, rule }) => [
    region,
    String(runs),
    String(bytes),
    showAddress(first),
    rule,
  ]);
  const more = differencesLeftOut === 0 ? [] : ["", `and ${countOf(differencesLeftOut, "run")} more`];
  return [...table(columns, rows, width), ...more];
}

const outcomes = [
  ["pass", "pass"],
  ["fail", "fail"],
  ["unknown", "could not be told"],
  ["not-applicable", "not applicable"],
] as const;

function checkLines({ checks }: Report, width: number): string[] {
  const counts = outcomes.flatMap(([outcome, words]) => {
    const number = checks.filter((check) => check.outcome === outcome).length;
    return number > 0 ? [`${number} ${words}`] : [];
  });
  return counts.length === 0
    ? []
    : hanging("", 0, `${countOf(checks.length, "rule")} asked: ${counts.join(", ")}`, width);
}
