/**
 * Prints how well the search for undocumented checksums does on invented images: recall and precision by algorithm,
 * layout, size and count of images. `npx tsx packages/checks/seek-table.ts [CASES] [FIRST]`; 200 cases take a while.
 */
import { caseOf } from "./seek/cases.js";
import { type CaseOutcome, outcomeOf } from "./seek/judge.js";

interface Count {
  told: number;
  decidable: number;
  found: number;
  foundDecidable: number;
}

const [cases = 200, first = 0] = process.argv.slice(2).map(Number);
const tables = new Map<string, Map<string, Count>>();
const seconds = new Map<number, number[]>();
let certain = 0;
let likely = 0;
let rightCertain = 0;
let rightLikely = 0;

for (let number = first; number < first + cases; number++) {
  const one = caseOf(number);
  const began = process.cpuUsage();
  const outcome = outcomeOf(one);
  const spent = process.cpuUsage(began);
  seconds.set(one.size, [...(seconds.get(one.size) ?? []), (spent.user + spent.system) / 1e6]);
  enter(outcome, one.size, one.contents.length);
  for (const { algorithm, certainty, expectedByChance, ranges, stored } of outcome.wrong) {
    console.log(
      `case ${number}: wrong, ${certainty} ${expectedByChance}: ${algorithm} ${JSON.stringify(ranges)} ${JSON.stringify(stored)}`,
    );
  }
  for (const { truth, decidable, found } of outcome.truths) {
    if (decidable && !found)
      console.log(`case ${number}: missed, ${one.size} x ${one.contents.length}: ${JSON.stringify(truth)}`);
  }
}

for (const [title, rows] of tables) {
  console.log(`\n${title.padEnd(22)} there  decidable  found of these  found of all`);
  for (const [name, { told, decidable, found, foundDecidable }] of [...rows].sort()) {
    const share = (part: number, whole: number) => (whole === 0 ? "-" : `${((100 * part) / whole).toFixed(1)} %`);
    console.log(
      `${name.padEnd(22)} ${String(told).padStart(5)}  ${String(decidable).padStart(9)}  ${share(foundDecidable, decidable).padStart(14)}  ${share(found, told).padStart(12)}`,
    );
  }
}
console.log(`\ncertain: ${certain}, wrong ${certain - rightCertain}; likely: ${likely}, wrong ${likely - rightLikely}`);
for (const [size, all] of [...seconds].sort(([a], [b]) => a - b)) {
  const sorted = all.sort((a, b) => a - b);
  console.log(
    `${size / 1024} KiB: median ${(sorted[sorted.length >> 1] as number).toFixed(1)} s of one processor, ${all.length} cases`,
  );
}

function enter({ truths, wrong, all }: CaseOutcome, size: number, images: number): void {
  for (const { truth, decidable, found } of truths) {
    for (const [title, name] of [
      ["all", "all"],
      ["algorithm", truth.algorithm],
      ["layout", truth.layout],
      ["size", `${String(size / 1024).padStart(4)} KiB`],
      ["images", `${images}`],
    ] as const) {
      const rows = tables.get(title) ?? new Map<string, Count>();
      tables.set(title, rows);
      const count = rows.get(name) ?? { told: 0, decidable: 0, found: 0, foundDecidable: 0 };
      rows.set(name, count);
      count.told++;
      if (found) count.found++;
      if (decidable) count.decidable++;
      if (decidable && found) count.foundDecidable++;
    }
  }
  const count = (certainty: string) => all.filter((one) => one.certainty === certainty).length;
  certain += count("certain");
  likely += count("likely");
  rightCertain += count("certain") - wrong.filter((one) => one.certainty === "certain").length;
  rightLikely += count("likely") - wrong.filter((one) => one.certainty === "likely").length;
}
