/**
 * How well the search for undocumented checksums does on invented images. `npx tsx packages/checks/seek-table.ts
 * [CASES] [FIRST]` makes the cases and prints recall and precision by algorithm, layout, size and count of images; all
 * 200 take about a quarter of an hour of one processor. With `--lines` it prints one line of JSON for each case as it is done, and
 * with `--read FILE...` the tables of such lines: several processes can share the work, and it can be broken off.
 */
import { readFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { caseOf } from "./seek/cases.js";
import { lineOf, outcomeOf, type TableLine } from "./seek/judge.js";
import { tablesOf } from "./seek/tables.js";

const { values, positionals } = parseArgs({
  options: { lines: { type: "boolean" }, read: { type: "boolean" } },
  allowPositionals: true,
});

if (values.read) {
  const text = positionals.map((file) => readFileSync(file, "utf8")).join("\n");
  const lines = text.split("\n").filter((line) => line.startsWith("{"));
  console.log(tablesOf(lines.map((line) => JSON.parse(line) as TableLine)));
} else {
  const [cases = 200, first = 0] = positionals.map(Number);
  const lines: TableLine[] = [];
  for (let number = first; number < first + cases; number++) {
    const one = caseOf(number);
    const began = process.cpuUsage();
    const outcome = outcomeOf(one);
    const { user, system } = process.cpuUsage(began);
    const line = lineOf(number, one, outcome, (user + system) / 1e6);
    lines.push(line);
    if (values.lines) console.log(JSON.stringify(line));
  }
  if (!values.lines) console.log(tablesOf(lines));
}
