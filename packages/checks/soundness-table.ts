/**
 * Prints the confusion table of docs/soundness.md: every fault in every image of the half that nothing was tuned on, and
 * what the clean images of both halves lead to. `tsx packages/checks/soundness-table.ts [--all] [--seeds N] FOLDER...`
 * With `--wide` also what fetch-wide.sh left behind; faults are then put into at most eight images of a family.
 */
import {
  type CleanImage,
  folders,
  isForTuning,
  loadCorpus,
  spread,
  wideFolder,
} from "../core/test/soundness/corpus.js";
import { faults } from "../core/test/soundness/faults.js";
import { findingsOf, rowOf, sumOf, tableOf } from "../core/test/soundness/table.js";

const options = process.argv.slice(2);
const count = options.includes("--seeds") ? Number(options[options.indexOf("--seeds") + 1]) : 1;
const limit = options.includes("--images")
  ? Number(options[options.indexOf("--images") + 1])
  : Number.POSITIVE_INFINITY;
const only = options.includes("--fault") ? options[options.indexOf("--fault") + 1] : undefined;
const given = options.filter((option) => option.startsWith("/"));
const wide = options.includes("--wide");
const usual = wide ? [...folders, wideFolder] : folders;
const images = loadCorpus(given.length > 0 ? given : usual).filter(({ bytes }) => bytes.length <= 2 ** 21);
const half = images.filter((image) => options.includes("--all") || isForTuning(image) === options.includes("--tuning"));
const names = [...new Set(half.map(({ family }) => family))];
const held = wide
  ? names.flatMap((name) =>
      spread(
        half.filter(({ family }) => family === name),
        8,
      ),
    )
  : half;
const step = Math.max(1, Math.ceil(held.length / limit));
const chosen = held.filter((_, i) => i % step === 0);
const seeds = Array.from({ length: count }, (_, i) => i + 1);

const known = new Map<CleanImage, readonly string[]>();
const clean = (image: CleanImage) => {
  const codes = known.get(image) ?? findingsOf(image.bytes).codes;
  known.set(image, codes);
  return codes;
};

if (!only) {
  const verdicts = images.map((image) => ({ image, ...findingsOf(image.bytes) }));
  const counts: Record<string, number> = {};
  for (const { image, codes } of verdicts) {
    known.set(image, codes);
    for (const code of codes) counts[code] = (counts[code] ?? 0) + 1;
  }
  const stops = verdicts.filter(({ stop }) => stop);
  const families = new Set(images.map(({ family }) => family)).size;
  console.log(`${images.length} clean images of ${families} families, ${stops.length} false stops`);
  for (const { image, codes } of stops) console.log(`  ${image.name}: ${codes.join(", ")}`);
  for (const [code, number] of Object.entries(counts)) console.log(`  ${code}: ${number}`);
}
console.log(`${chosen.length} images, seeds ${seeds.join(", ")}\n`);
const rows = faults
  .filter(({ name }) => !only || name.includes(only))
  .map((fault) => rowOf(fault, chosen, seeds, clean));
console.log(tableOf(rows));
const { reads, found, named } = sumOf(rows);
console.log(`\n${reads} reads whose fault can be told: ${found} found, ${named} named right`);
if (options.includes("--misses"))
  for (const { fault, misses } of rows) if (misses.length > 0) console.log(fault, misses);
