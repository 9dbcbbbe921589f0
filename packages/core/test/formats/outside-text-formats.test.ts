import { execFile, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterAll, describe, expect, it } from "vitest";
import { decode } from "../../src/formats/decode.js";
import type { WrittenFormatName } from "../../src/formats/decoded.js";
import { encode } from "../../src/formats/encode.js";
import { Image } from "../../src/image/image.js";
import { randomFrom, seed } from "../reference/random.js";

// Witnesses: GNU objcopy (binutils) and srec_cat (SRecord), for the text formats besides Intel HEX and S-records.

const run = promisify(execFile);
const present = (tool: string) => spawnSync(tool, ["--version"]).status === 0;
const missing = ["objcopy", "srec_cat"].filter((tool) => !present(tool));
if (missing.length > 0) {
  const told = `${missing.join(" and ")} not found: install binutils and srecord`;
  if (process.env.ASSAY_REQUIRE_TOOLS === "1") throw new Error(told);
  console.warn(`\n  NOT TESTED: ${told}\n`);
}

const folder = mkdtempSync(join(tmpdir(), "assay-text-formats-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const srecCat = (from: string, to: string) => (a: string, b: string) => ["srec_cat", a, from, "-o", b, to];
const objcopy = (from: string, to: string) => (a: string, b: string) => ["objcopy", "-I", from, "-O", to, a, b];
type Way = readonly [
  name: string,
  from: WrittenFormatName,
  to: WrittenFormatName,
  args: (a: string, b: string) => string[],
];
const ways: readonly Way[] = [
  ["srec_cat reads TI-TXT", "ti-txt", "s-record", srecCat("-ti_txt", "-motorola")],
  ["srec_cat writes TI-TXT", "s-record", "ti-txt", srecCat("-motorola", "-ti_txt")],
  ["srec_cat reads Tektronix", "tektronix-hex", "intel-hex", srecCat("-tektronix_extended", "-intel")],
  ["srec_cat writes Tektronix", "intel-hex", "tektronix-hex", srecCat("-intel", "-tektronix_extended")],
  // The other way round objcopy 2.40 puts what it reads at address 0, what it wrote itself too.
  ["objcopy writes Tektronix", "s-record", "tektronix-hex", objcopy("srec", "tekhex")],
];

/** What those tools write beside the data: symbols, the narrowest records, no end record without a start address. */
const harmless = new Set<string>([
  "tektronix-hex/symbols",
  "tektronix-hex/missing-end",
  "s-record/widths-mixed",
  "s-record/end-left-out",
]);

describe.runIf(missing.length === 0)("general tools", () => {
  const random = randomFrom(seed);
  /** Pieces at multiples of `step`: objcopy writes Tektronix extended hex in rows of 32 bytes, and fills them up. */
  const imagesOf = (step: number) =>
    [0x1000, 0x10000, 0x100000, 0x7fff0000].map((base) =>
      Image.of(
        Array.from({ length: 12 }, (_, i) => ({
          address: base + 0x200 * i + step * random.below(4),
          bytes: random.bytes(step * (1 + random.below(i % 4 === 0 ? Math.ceil(0x100 / step) : 2))),
        })),
      ),
    );
  const [images, rows] = [imagesOf(1), imagesOf(32)];

  it.each(ways)(`%s: the same images (seed ${seed})`, async (name, from, to, args) => {
    for (const [i, image] of (name.startsWith("objcopy") ? rows : images).entries()) {
      const source = join(folder, `${name.replaceAll(" ", "-")}-${i}`);
      const target = `${source}-out`;
      writeFileSync(source, encode(image, from, { lineEnd: i % 2 === 0 ? "lf" : "crlf" }));
      const [tool = "", ...rest] = args(source, target);
      await run(tool, rest);
      const decoded = decode(new Uint8Array(readFileSync(target)));
      expect(decoded.format).toBe(to);
      expect(decoded.image.spans, `image ${i}`).toEqual(image.spans);
      expect(decoded.image.equals(image)).toBe(true);
      expect(decoded.findings.map(({ code }) => code).filter((code) => !harmless.has(code))).toEqual([]);
    }
  });
});
