import { spawnSync } from "node:child_process";
import fc from "fast-check";
import { expect, it } from "vitest";
import { contentDigest } from "../../src/fingerprint/content.js";
import { fingerprintOf } from "../../src/fingerprint/fingerprint.js";
import { readableOf } from "../../src/fingerprint/readable.js";
import { contentCase, digestCase, fingerprintCase, seed } from "./arbitraries.js";
import { folder, imageOf, partOf, plainReading, plainResult } from "./vectors.js";

const python = (mode: string, input = "") =>
  spawnSync("python3", [`${folder}fingerprint.py`, mode], { input, encoding: "utf8", maxBuffer: 2 ** 26 });

const present = spawnSync("python3", ["--version"]).status === 0;
const required = process.env.ASSAY_REQUIRE_TOOLS === "1";
if (!present && !required)
  console.warn("SKIPPED: python3 is not here, so nothing is compared with the second implementation");
const compare = it.skipIf(!present && !required);

compare("agrees with the second implementation on the vectors", () => {
  const { status, stdout, stderr } = python("check");
  expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: "", stderr: "" });
});

const answered = (cases: readonly unknown[]): unknown[] => {
  const { status, stdout, stderr } = python("answer", `${cases.map((one) => JSON.stringify(one)).join("\n")}\n`);
  expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  const answers = stdout.trimEnd().split("\n");
  expect(answers).toHaveLength(cases.length);
  return answers.map((line) => JSON.parse(line));
};

compare(`agrees with it on random parts of random memories (seed ${seed})`, () => {
  const cases = fc.sample(fingerprintCase, { seed, numRuns: 500 });
  const kinds = { computed: 0, missing: 0, "nothing-covered": 0 };
  answered(cases).forEach((answer, i) => {
    const { segments, part } = cases[i] as (typeof cases)[number];
    const result = fingerprintOf(imageOf(segments), partOf(part));
    kinds[result.kind]++;
    expect(plainResult(result, partOf(part)), JSON.stringify(cases[i])).toEqual(answer);
  });
  for (const count of Object.values(kinds)) expect(count).toBeGreaterThan(20); // all three answers were compared
});

compare(`agrees with it on the content of random memories (seed ${seed})`, () => {
  const cases = fc.sample(contentCase, { seed, numRuns: 250 });
  answered(cases).forEach((answer, i) => {
    const { segments } = cases[i] as (typeof cases)[number];
    expect({ content: contentDigest(imageOf(segments)) ?? null }, JSON.stringify(cases[i])).toEqual(answer);
  });
});

compare(`agrees with it on readable forms, whole and mistyped (seed ${seed})`, () => {
  const digests = fc.sample(digestCase, { seed, numRuns: 200 });
  answered(digests).forEach((answer, i) => {
    expect({ readable: readableOf(digests[i]?.digest ?? "") }).toEqual(answer);
  });
  const slip = fc.tuple(
    fc.nat(25),
    fc.constantFrom("0", "o", "L", "u", "Z", " ", "\u2013", "é", "-", "\ufeff", "\u{1f600}"),
  );
  const typed = fc
    .tuple(digestCase, fc.array(slip, { maxLength: 2 }), fc.boolean(), fc.boolean())
    .map(([{ digest }, slips, lower, inserted]) => {
      let text = readableOf(digest);
      for (const [at, by] of slips) text = text.slice(0, at) + by + text.slice(inserted ? at : at + 1);
      return { text: lower ? text.toLowerCase() : text };
    });
  const unit = fc.oneof(
    fc.constantFrom(..."0Zl -o"),
    fc.integer({ min: 0, max: 0xffff }).map((code) => String.fromCharCode(code)),
  );
  const anything = fc.array(unit, { maxLength: 24 }).map((units) => ({ text: units.join("") }));
  const texts = fc.sample(fc.oneof(typed, anything), { seed, numRuns: 500 });
  answered(texts).forEach((answer, i) => {
    const { text } = texts[i] as (typeof texts)[number];
    expect(plainReading(text), JSON.stringify(text)).toEqual(answer);
  });
});
