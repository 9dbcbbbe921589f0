import type { Draft, SeekResult } from "@assay/core";
import type { Line } from "../terminal/paint.js";
import { countOf, type Run, showAddress, showRun } from "./numbers.js";
import { picture } from "./picture.js";
import { table } from "./table.js";
import { hanging, wrap } from "./wrap.js";

/** A draft with where it was written to and what was searched. */
export interface Drafted {
  readonly drafted: Draft;
  readonly searched: SeekResult["searched"];
  readonly written: { readonly file: string; readonly bytes: number; readonly sha256: string } | null;
}

/** Ranges that may be chance are told so far. */
const mostUndecided = 6;

/** What was drafted, how sure it is and what to do next, for people. */
export function renderDraft({ drafted, searched, written }: Drafted, width: number): Line[] {
  const inside = width - 2;
  const section = (title: string, lines: readonly string[]): Line[] =>
    lines.length === 0
      ? []
      : ["", [{ text: title, style: "strong" }], "", ...lines.map((line) => `  ${line}`.trimEnd())];
  const titled = (...titles: string[]) => titles.map((title) => ({ title }));
  const { regions, fields, checksums, pair } = drafted.profile;
  const rules = pair?.rules ?? [];
  const marked = new Set(drafted.unconfirmed.map(({ path }) => path));
  const standing = (path: string) => (marked.has(path) ? "to confirm" : "supported");
  const places = (over: readonly object[]) =>
    over.flatMap((one) =>
      "start" in one && "end" in one ? [{ start: Number(one.start), length: Number(one.end) - Number(one.start) }] : [],
    );
  const drawn = regions.map(({ name, role, over }) => ({ name, role, spans: places(over) }));
  return [
    [{ text: headline(drafted), style: "strong" }],
    ...section("Reads", readLines(drafted, searched, inside)),
    ...section("Memory", picture({ inputs: [], images: [{ role: "", regions: drawn }], findings: [] }, inside)),
    ...section(
      "Regions",
      table(
        titled("name", "role", "where", ""),
        drawn.map(({ name, role, spans }, i) => [name, role, spans.map(range).join(", "), standing(`regions[${i}]`)]),
        inside,
      ),
    ),
    ...section(
      "Fields",
      table(
        titled("name", "type", "where", ""),
        fields.map(({ name, type, at, length }, i) => [
          name,
          type,
          range({ start: Number(at), length: Number(length) }),
          standing(`fields[${i}]`),
        ]),
        inside,
      ),
    ),
    ...section(
      "Checksums",
      table(
        titled("name", "algorithm", "over", "stored at", ""),
        checksums.map(({ name, algorithm, over, stored }, i) => [
          name,
          typeof algorithm === "string" ? algorithm : "a CRC of its own",
          places(over).map(range).join(" and "),
          showAddress(Number(stored.at)),
          standing(`checksums[${i}]`),
        ]),
        inside,
      ),
    ),
    ...section(
      "Pairing",
      table(
        titled("name", "rule", "where", ""),
        rules.map(({ name, rule, over }, i) => [name, rule, whereOf(over), standing(`pair.rules[${i}]`)]),
        inside,
      ),
    ),
    ...section(
      "Does not go together",
      drafted.doubts.flatMap(({ what }) => wrap(what, inside)),
    ),
    ...section(
      "May be chance, and is not in the profile",
      drafted.undecided
        .slice(0, mostUndecided)
        .flatMap(({ algorithm, ranges, stored }) =>
          wrap(
            `${algorithm} over ${ranges.map(showRun).join(" and ")}, stored at ${showAddress(stored.start)}`,
            inside,
          ),
        ),
    ),
    ...section("To be confirmed by a person", confirmations(drafted, inside)),
    ...section(
      "Which further read would tell most",
      drafted.next.flatMap(({ read, tells }, i) => hanging(`${i + 1}.`, 3, `${read}: ${tells}`, inside)),
    ),
    ...(written ? ["", ...wrap(`Written: ${written.file} (${countOf(written.bytes, "byte")})`, width)] : []),
  ];
}

function headline({ profile, unconfirmed }: Draft): string {
  const { regions, fields, checksums, pair } = profile;
  const parts = [
    countOf(regions.length, "region"),
    countOf(fields.length, "field"),
    countOf(checksums.length, "checksum"),
    ...(pair ? [countOf(pair.rules.length, "pairing rule")] : []),
  ];
  return `draft: ${parts.join(", ")}; ${unconfirmed.length} to confirm`;
}

function readLines({ family, variation }: Draft, { complete, tasks }: SeekResult["searched"], width: number): string[] {
  const units = family.units.flatMap(({ reads, side, release }) =>
    wrap(`${reads.join(", ")}: ${[side, `software ${release}`].filter((part) => part !== null).join(", ")}`, width),
  );
  const bytes = [
    [variation.constant, "the same in all"],
    [variation.release, "go with the software"],
    [variation.machine, "with the machine"],
    [variation.side, "with the side"],
    [variation.unit, "with the unit"],
    [variation.volatile, "change by themselves"],
  ] as const;
  const told = bytes.filter(([count]) => count > 0).map(([count, how]) => `${count} ${how}`);
  return [
    ...units,
    ...wrap(`Bytes: ${told.join(", ")}.`, width),
    ...(complete
      ? []
      : wrap(
          `The search for checksums was stopped early: ${tasks.done} of ${tasks.planned} searches were made.`,
          width,
        )),
  ];
}

/** Statements with one reason stand together. */
function confirmations({ unconfirmed }: Draft, width: number): string[] {
  const byReason = new Map<string, string[]>();
  for (const { statement, why } of unconfirmed) byReason.set(why, [...(byReason.get(why) ?? []), statement]);
  return [...byReason].flatMap(([why, statements]) => [
    ...wrap(`${statements.join(", ")}:`, width),
    ...hanging("", 2, why, width),
  ]);
}

function whereOf(over: readonly object[]): string {
  const shown = over.map((one) => {
    if ("region" in one) return `region ${one.region}`;
    if ("field" in one) return `field ${one.field}`;
    const { start, end } = one as { start: unknown; end: unknown };
    return range({ start: Number(start), length: Number(end) - Number(start) });
  });
  return shown.length > 2 ? `${shown.slice(0, 2).join(", ")} and ${shown.length - 2} more` : shown.join(", ");
}

function range({ start, length }: Run): string {
  return `${showAddress(start)}..${showAddress(start + length)}`;
}
