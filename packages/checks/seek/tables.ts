import type { TableLine } from "./judge.js";

interface Count {
  there: number;
  decidable: number;
  found: number;
  foundDecidable: number;
}

/** What was wrong or missed in some cases, and recall and precision of all of them, as text. */
export function tablesOf(lines: readonly TableLine[]): string {
  const tables = new Map<string, Map<string, Count>>();
  const seconds = new Map<number, number[]>();
  const faults: string[] = [];
  const told = { certain: 0, likely: 0 };
  const wrong = { certain: 0, likely: 0 };
  for (const line of lines) {
    seconds.set(line.size, [...(seconds.get(line.size) ?? []), line.seconds]);
    for (const truth of line.truths) {
      for (const [title, name] of [
        ["all", "all"],
        ["algorithm", truth.algorithm],
        ["layout", truth.layout],
        ["size", `${String(line.size / 1024).padStart(4)} KiB`],
        ["images", `${line.images}`],
      ] as const) {
        const rows = tables.get(title) ?? new Map<string, Count>();
        tables.set(title, rows);
        const count = rows.get(name) ?? { there: 0, decidable: 0, found: 0, foundDecidable: 0 };
        rows.set(name, count);
        count.there++;
        if (truth.found) count.found++;
        if (truth.decidable) count.decidable++;
        if (truth.decidable && truth.found) count.foundDecidable++;
      }
      if (truth.decidable && !truth.found) faults.push(`case ${line.number}: missed: ${JSON.stringify(truth)}`);
    }
    for (const one of line.wrong) {
      wrong[one.certainty as "certain" | "likely"]++;
      faults.push(`case ${line.number}: wrong: ${JSON.stringify(one)}`);
    }
    told.certain += line.certain;
    told.likely += line.likely;
  }
  return [
    ...faults,
    ...[...tables].flatMap(([title, rows]) => ["", ...table(title, rows)]),
    "",
    `${lines.length} cases; certain: ${told.certain}, wrong ${wrong.certain}; likely: ${told.likely}, wrong ${wrong.likely}`,
    ...[...seconds].sort(([a], [b]) => a - b).map(([size, all]) => median(size, all)),
  ].join("\n");
}

function table(title: string, rows: ReadonlyMap<string, Count>): string[] {
  const share = (part: number, whole: number) => (whole === 0 ? "-" : `${((100 * part) / whole).toFixed(1)} %`);
  const cells = [...rows]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, { there, decidable, found, foundDecidable }]) =>
      row(name, [`${there}`, `${decidable}`, share(foundDecidable, decidable), share(found, there)]),
    );
  return [row(title, ["there", "decidable", "of these found", "of all found"]), ...cells];
}

function row(name: string, cells: readonly string[]): string {
  return [name.padEnd(20), ...cells.map((cell) => cell.padStart(15))].join("");
}

function median(size: number, seconds: readonly number[]): string {
  const middle = [...seconds].sort((a, b) => a - b)[seconds.length >> 1] as number;
  return `${size / 1024} KiB: median ${middle.toFixed(1)} s of one processor, ${seconds.length} cases`;
}
