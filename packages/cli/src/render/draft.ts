import type { Draft, SeekResult } from "@assay/core";
import type { Line } from "../terminal/paint.js";
import { countOf, type Run, showAddress, showRun } from "./numbers.js";
import { picture } from "./picture.js";
import { table } from "./table.js";
import { hanging, wrap } from "./wrap.js";

/** A statement with its places in the first read. */
interface Placed {
  readonly name: string;
  readonly spans: readonly Run[];
  readonly toConfirm: boolean;
}

/** What of a draft is drawn, and where it was written to. */
export interface Drafted extends Omit<Draft, "document"> {
  readonly searched: SeekResult["searched"];
  readonly written: { readonly file: string; readonly bytes: number; readonly sha256: string } | null;
  readonly regions: readonly (Placed & { readonly role: Draft["profile"]["regions"][number]["role"] })[];
  readonly fields: readonly (Placed & { readonly means: string })[];
  readonly checksums: readonly (Placed & { readonly algorithm: string; readonly storedAt: Run | undefined })[];
  readonly rules: readonly (Placed & { readonly rule: string })[];
}

/** Ranges that may be chance, and contradictions of one statement, are told so far. */
const mostUndecided = 6;
const mostContradictions = 3;

/** How it is told of further reads what they are. */
const toldWith = { same: "--same", pairs: "--pair LEFT RIGHT" };

/** What was drafted, how sure it is and what to do next, for people. */
export function renderDraft(drafted: Drafted, width: number): Line[] {
  const inside = width - 2;
  const section = (title: string, lines: readonly string[]): Line[] =>
    lines.length === 0
      ? []
      : ["", [{ text: title, style: "strong" }], "", ...lines.map((line) => `  ${line}`.trimEnd())];
  const rows = (titles: readonly string[], cells: readonly (readonly string[])[]) =>
    cells.length === 0
      ? []
      : table(
          [...titles, ""].map((title) => ({ title })),
          cells,
          inside,
        );
  const { regions, fields, checksums, rules, doubts, undecided, next, written } = drafted;
  const drawn = regions.map(({ name, role, spans }) => ({ name, role, spans: [...spans] }));
  return [
    [{ text: headline(drafted), style: "strong" }],
    ...section("Reads", readLines(drafted, inside)),
    ...section("Memory", picture({ inputs: [], images: [{ role: "", regions: drawn }], findings: [] }, inside)),
    ...section(
      "Regions",
      rows(
        ["name", "role", "where"],
        regions.flatMap((one) => placed(one, one.role)),
      ),
    ),
    ...section(
      "Fields",
      rows(
        ["name", "is", "where"],
        fields.flatMap((one) => placed(one, one.means)),
      ),
    ),
    ...section(
      "Checksums",
      rows(
        ["name", "algorithm", "over"],
        checksums.flatMap((one) => placed(one, one.algorithm)),
      ),
    ),
    ...section(
      "Pairing",
      rows(
        ["name", "rule", "where"],
        rules.flatMap((one) => placed(one, one.rule)),
      ),
    ),
    ...section("Held against the old profile", heldLines(drafted, inside)),
    ...section(
      "Does not go together",
      doubts.flatMap(({ what }) => wrap(what, inside)),
    ),
    ...section(
      "May be chance, and is not in the profile",
      undecided
        .slice(0, mostUndecided)
        .flatMap(({ algorithm, ranges, stored }) =>
          wrap(
            `${algorithm} over ${ranges.map(showRun).join(" and ")}, ${stored.place === "told" ? `stored at ${showAddress(stored.start)}` : "in which word is not told"}`,
            inside,
          ),
        ),
    ),
    ...section("To be confirmed by a person", confirmations(drafted, inside)),
    ...section(
      "Which further read would tell most",
      next.flatMap(({ read, told, tells }, i) =>
        hanging(`${i + 1}.`, 3, `${read}${told ? ` (${toldWith[told]})` : ""}: ${tells}`, inside),
      ),
    ),
    ...(written ? ["", ...wrap(`Written: ${written.file} (${countOf(written.bytes, "byte")})`, width)] : []),
  ];
}

function headline({ regions, fields, checksums, rules, unconfirmed, held }: Drafted): string {
  const parts = [
    countOf(regions.length, "region"),
    countOf(fields.length, "field"),
    countOf(checksums.length, "checksum"),
    ...(rules.length > 0 ? [countOf(rules.length, "pairing rule")] : []),
  ];
  const against = held?.filter(({ contradictions }) => contradictions.length > 0).length;
  const contradicted = against === undefined ? "" : `, ${against} of the old ones contradicted`;
  return `draft: ${parts.join(", ")}; ${unconfirmed.length} to confirm${contradicted}`;
}

function readLines({ family, processor, variation, searched }: Drafted, width: number): string[] {
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
  const { complete, tasks } = searched;
  return [
    ...units,
    ...(processor.name === undefined
      ? []
      : wrap(
          `Processor: ${processor.name}${processor.order ? `, ${processor.order}-endian` : ""} (${processor.certainty}).`,
          width,
        )),
    ...wrap(`Bytes: ${told.join(", ")}.`, width),
    ...(complete
      ? []
      : wrap(
          `The search for checksums was stopped early: ${tasks.done} of ${tasks.planned} searches were made.`,
          width,
        )),
  ];
}

/** What the reads say of an old profile: what they contradict in full, what they support in numbers. */
function heldLines({ held, added = [], unconfirmed }: Drafted, width: number): string[] {
  if (!held) return [];
  const against = held.filter(({ contradictions }) => contradictions.length > 0);
  const all = held.filter(({ supported, of }) => of > 0 && supported === of).length;
  const none = held.filter(({ supported, contradictions }) => supported === 0 && contradictions.length === 0);
  const marked = new Set(unconfirmed.map(({ path }) => path));
  const open = held.filter(({ path, contradictions }) => marked.has(path) && contradictions.length === 0);
  return [
    ...wrap(`${all} of ${countOf(held.length, "statement")} supported by everything that was given.`, width),
    ...against.flatMap(({ statement, contradictions, of, by }) => [
      ...wrap(`Contradicted by ${contradictions.length} of ${countOf(of, by)}: ${statement}`, width),
      ...contradictions
        .slice(0, mostContradictions)
        .flatMap(({ reads, start, what }) =>
          hanging(
            "",
            2,
            `${reads.join(" and ")}${start === undefined ? "" : ` at ${showAddress(start)}`}: ${what}`,
            width,
          ),
        ),
    ]),
    ...open.flatMap(({ statement, supported, of, by }) =>
      wrap(`To be confirmed, and supported by ${supported} of ${countOf(of, by)}: ${statement}`, width),
    ),
    ...(none.length > 0
      ? wrap(`Not told by these reads: ${list(none.map(({ statement }) => statement))}.`, width)
      : []),
    ...(added.length > 0 ? wrap(`Added: ${list(added)}.`, width) : []),
  ];
}

const mostListed = 12;

function list(names: readonly string[]): string {
  const more = names.length - mostListed;
  return `${names.slice(0, mostListed).join(", ")}${more > 0 ? ` and ${more} more` : ""}`;
}

/** Statements with one reason stand together. */
function confirmations({ unconfirmed }: Drafted, width: number): string[] {
  const byReason = new Map<string, string[]>();
  for (const { statement, why } of unconfirmed) byReason.set(why, [...(byReason.get(why) ?? []), statement]);
  return [...byReason].flatMap(([why, statements]) => [
    ...wrap(`${statements.join(", ")}:`, width),
    ...hanging("", 2, why, width),
  ]);
}

function standing({ toConfirm }: Placed): string {
  return toConfirm ? "to confirm" : "supported";
}

/** A row for each place: only the first says whose it is. */
function placed(one: Placed, is: string): string[][] {
  const shown = one.spans.map(({ start, length }) => `${showAddress(start)}..${showAddress(start + length)}`);
  if (shown.length === 0) return [[one.name, is, "depends on the image", standing(one)]];
  const listed =
    shown.length > mostPlaces ? [...shown.slice(0, mostPlaces), `and ${shown.length - mostPlaces} more`] : shown;
  return listed.map((place, i) => (i === 0 ? [one.name, is, place, standing(one)] : ["", "", place, ""]));
}

const mostPlaces = 4;
