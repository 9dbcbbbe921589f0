import { existsSync } from "node:fs";
import { expect, it } from "vitest";
import { folders, isForTuning, loadCorpus, spread } from "./corpus.js";
import { faults } from "./faults.js";
import { findingsOf, rowOf, tableOf } from "./table.js";

/**
 * A small part of the table of docs/soundness.md, so that a detector that goes blind or cries out shows at once. The
 * whole table is printed by packages/checks/soundness-table.ts.
 */
const images = loadCorpus().filter(({ bytes }) => bytes.length <= 2 ** 19);
const absent = `no corpus in ${folders.join(" or ")}: run test-vectors/real-images/fetch-corpus.sh`;
const asked = process.env.ASSAY_REQUIRE_TOOLS === "1";
if (images.length === 0 && !asked) console.warn(absent);

it.runIf(asked)("has a corpus to measure on", () =>
  expect(images.length, absent).toBeGreaterThan(folders.some(existsSync) ? 50 : 0),
);

it.runIf(images.length > 0)("calls no clean image damaged, but for one in a thousand", { timeout: 120_000 }, () => {
  const some = spread(images, 60);
  const stops = some.filter(({ bytes }) => findingsOf(bytes).stop).map(({ name }) => name);
  expect(stops).toEqual([]);
});

it.runIf(images.length > 0)("finds the faults that are put in, and names them", { timeout: 240_000 }, () => {
  const some = spread(
    images.filter((image) => image.bytes.length >= 8192 && !isForTuning(image)),
    5,
  );
  const known = new Map(some.map((image) => [image, findingsOf(image.bytes).codes]));
  const rows = faults.map((fault) => rowOf(fault, some, [1], (image) => known.get(image) ?? []));
  console.log(tableOf(rows));
  const told = rows.filter(({ untellable, tried }) => !untellable && tried > 0);
  const sum = (of: (row: (typeof rows)[number]) => number) => told.reduce((total, row) => total + of(row), 0);
  expect(sum(({ found }) => found) / sum(({ tried }) => tried)).toBeGreaterThan(0.97);
  expect(sum(({ named }) => named) / sum(({ tried }) => tried)).toBeGreaterThan(0.95);
});
