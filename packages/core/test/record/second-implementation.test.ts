import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { afterAll, expect, it } from "vitest";
import { appendRecord } from "../../src/record/append.js";
import { canonicalJson } from "../../src/record/canonical.js";
import { recordEntryDigest } from "../../src/record/chain.js";
import type { PlainValue, RecordEntry } from "../../src/record/schema.js";
import { edited, recordOf, resealed, run } from "./records.js";

const seed = 20260502;
const script = fileURLToPath(new URL("../../../../test-vectors/record/record.py", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "assay-test-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const present = spawnSync("python3", ["--version"]).status === 0;
const required = process.env.ASSAY_REQUIRE_TOOLS === "1";
if (!present && !required)
  console.warn("SKIPPED: python3 is not here, so nothing is compared with the second implementation");
const compare = it.skipIf(!present && !required);

const text = fc
  .array(
    fc.oneof(
      fc.constantFrom("\u0000", "\u001f", '"', "\\", "\n", "\t", "\b", "\f", "\r", "/", "\u007f", "\u0080", "\u2028"),
      fc.integer({ min: 0x20, max: 0xd7ff }).map((code) => String.fromCharCode(code)),
      fc.integer({ min: 0xe000, max: 0x10ffff }).map((code) => String.fromCodePoint(code)),
    ),
    { maxLength: 8 },
  )
  .map((characters) => characters.join(""));
const plan = fc.letrec<{ value: PlainValue }>((tie) => ({
  value: fc.oneof(
    { depthSize: "small", withCrossShrink: true },
    fc.constantFrom(null, true, false),
    fc.maxSafeInteger(),
    text,
    fc.array(tie("value"), { maxLength: 4 }),
    fc.dictionary(
      text.filter((key) => key !== "__proto__"),
      tie("value"),
      { maxKeys: 4 },
    ),
  ),
})).value;

compare(`canonical forms and digests are those of the second implementation (seed ${seed})`, () => {
  const plans = fc.sample(plan, { seed, numRuns: 500 });
  const entries = plans.map((one, i) => ({ ...run(i), plan: one, number: i + 1, previous: null }));
  const input = `${entries.map((one) => JSON.stringify(one)).join("\n")}\n`;
  const { status, stdout, stderr } = spawnSync("python3", [script, "answer"], {
    input,
    encoding: "utf8",
    maxBuffer: 2 ** 26,
  });
  expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  const answers = stdout
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line));
  expect(answers).toHaveLength(500);
  entries.forEach((entry, i) => {
    expect(answers[i], JSON.stringify(entry.plan)).toEqual({
      canonical: canonicalJson(entry),
      digest: recordEntryDigest(entry),
    });
  });
});

compare("the second implementation finds that a record holds, and that a changed one does not", () => {
  const verify = (content: string) => {
    writeFileSync(join(folder, "record.json"), content);
    return spawnSync("python3", [script, "verify", join(folder, "record.json")], { encoding: "utf8" }).stdout.trim();
  };
  const whole = appendRecord(recordOf(6), run(7, { plan: { from: ["source", "donor"] } })).text;
  expect(verify(whole)).toBe("holds");
  expect(verify(whole.replace('"verdict":"stop"', '"verdict":"clear"'))).toBe("entry 1 was changed");
  expect(verify(edited(whole, (r) => void r.entries.splice(2, 1)))).toBe("entry 4 in place 3");
  expect(
    verify(
      edited(whole, (r) => void r.entries.splice(2, 1, resealed({ ...(r.entries[2] as RecordEntry), note: "x" }))),
    ),
  ).toBe("entry 4 follows another");
  expect(verify(edited(whole, (r) => void r.entries.pop()))).toBe("the end is another");
  expect(verify(JSON.stringify(JSON.parse(whole)))).toBe("laid out otherwise");
});
