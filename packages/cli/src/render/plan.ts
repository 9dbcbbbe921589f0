import type { Report } from "@assay/core";
import { cellsOf, padTo } from "../terminal/cells.js";
import { countOf, showAddress } from "./numbers.js";
import { hanging } from "./wrap.js";

type Part = NonNullable<Report["plan"]>["regions"][number];

const gap = "  ";
const origins: Readonly<Record<Part["origin"], string>> = { source: "source", donor: "donor", erased: "left erased" };
const titles = ["region", "from", "bytes", "changed"] as const;
const numeric = [false, false, true, true] as const;

/** What a donor would be written with: a line for each region, and every byte that is neither unit's. */
export function planLines({ plan, verdict }: Report, width: number): string[] {
  if (!plan) return [];
  const rows = plan.regions.map(
    (part) =>
      [
        part.region ?? "(in no region)",
        part.decided === "open" ? `${origins[part.origin]}, undecided` : origins[part.origin],
        String(part.bytes),
        part.changes === null ? "not known" : String(part.changes),
      ] as const,
  );
  const widths = titles.map((title, i) => Math.max(cellsOf(title), ...rows.map((row) => cellsOf(row[i] as string))));
  const left = (cells: readonly string[]) =>
    cells.map((cell, i) => padTo(cell, widths[i] as number, numeric[i] ? "right" : "left") + gap).join("");
  const indent = cellsOf(left(titles));
  const line = (cells: readonly string[], reason: string) => hanging(left(cells), indent, reason, width);
  return [
    ...line(titles, "because"),
    ...plan.regions.flatMap(({ reason }, i) => line(rows[i] as readonly string[], reason)),
    ...(plan.recomputed.length > 0 ? ["", "Put right, because it covers bytes of both units:"] : []),
    ...plan.recomputed.flatMap(({ checksum, bytes }) =>
      bytes.flatMap(({ address, before, after }) =>
        hanging(
          "",
          2,
          `${showAddress(address)} ${before.toUpperCase()} becomes ${after.toUpperCase()} (${checksum})`,
          width,
        ),
      ),
    ),
    "",
    ...hanging("", 0, composedText(plan, verdict), width),
  ];
}

function composedText({ composed }: NonNullable<Report["plan"]>, verdict: Report["verdict"]): string {
  if (!composed) return "Nothing was composed.";
  const digest = composed.content === null ? "" : `, content ${composed.content.slice(0, 12)}...`;
  const held = `Composed: ${countOf(composed.bytes, "byte")} in ${countOf(composed.spans.length, "span")}${digest}`;
  return verdict === "stop" ? `${held}. It is not handed out, because the verdict is stop.` : `${held}.`;
}
