/**
 * Prints the confusion table of docs/soundness.md: every fault in every image of the half that nothing was tuned on, and
 * what the clean images of both halves lead to. `tsx packages/checks/soundness-table.ts [--all] [--seeds N] FOLDER...`
 * With `--wide` the clean images are also those that fetch-wide.sh left behind, and faults are put into at most eight
 * images of each family that the usual folders hold none of.
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
const images = (where: readonly string[]) => loadCorpus(where).filter(({ bytes }) => bytes.length <= 2 ** 21);
const usual = images(given.length > 0 ? given : folders);
const isWide = options.includes("--wide");
const all = isWide ? images([...folders, wideFolder]) : usual;
const held = isWide
  ? unseen()
  : usual.filter((image) => options.includes("--all") || isForTuning(image) === options.includes("--tuning"));

/** At most eight images of each family that the usual folders hold none of. */
function unseen(): CleanImage[] {
  const seen = new Set(usual.map(({ family }) => family));
  const names = [...new Set(all.map(({ family }) => family))].filter((name) => !seen.has(name));
  return names.flatMap((name) =>
    spread(
      all.filter(({ family }) => family === name),
      8,
    ),
  );
}
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
  const verdicts = all.map((image) => ({ image, ...findingsOf(image.bytes) }));
  const counts: Record<string, number> = {};
  for (const { image, codes } of verdicts) {
    known.set(image, codes);
    for (const code of codes) counts[code] = (counts[code] ?? 0) + 1;
  }
  const stops = verdicts.filter(({ stop }) => stop);
  const families = new Set(all.map(({ family }) => family)).size;
  console.log(`${all.length} clean images of ${families} families, ${stops.length} false stops`);
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
