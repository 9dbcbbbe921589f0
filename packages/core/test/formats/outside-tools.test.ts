import { execFile, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterAll, describe, expect, it } from "vitest";
import { decode } from "../../src/formats/decode.js";
import { type EncodeOptions, encode } from "../../src/formats/encode.js";
import { Image } from "../../src/image/image.js";
import { type Random, randomFrom, seed } from "../reference/random.js";

// Witnesses: GNU objcopy (binutils) and srec_cat (SRecord). Each reads what this library writes and writes what it reads.

const run = promisify(execFile);
const present = (tool: string) => spawnSync(tool, ["--version"]).status === 0;
const missing = ["objcopy", "srec_cat"].filter((tool) => !present(tool));
if (missing.length > 0) {
  const told = `${missing.join(" and ")} not found: install binutils and srecord`;
  if (process.env.ASSAY_REQUIRE_TOOLS === "1") throw new Error(told);
  console.warn(`\n  NOT TESTED: ${told}\n`);
}

const folder = mkdtempSync(join(tmpdir(), "assay-formats-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const tools = {
  "objcopy to S-records": {
    from: "hex",
    to: "srec",
    args: (a: string, b: string) => ["objcopy", "-I", "ihex", "-O", "srec", "--srec-forceS3", a, b],
  },
  "objcopy to Intel HEX": {
    from: "srec",
    to: "hex",
    args: (a: string, b: string) => ["objcopy", "-I", "srec", "-O", "ihex", a, b],
  },
  "srec_cat to S-records": {
    from: "hex",
    to: "srec",
    args: (a: string, b: string) => ["srec_cat", a, "-intel", "-o", b, "-motorola"],
  },
  "srec_cat to Intel HEX": {
    from: "srec",
    to: "hex",
    args: (a: string, b: string) => ["srec_cat", a, "-motorola", "-o", b, "-intel"],
  },
} as const;

/** What srec_cat does: the shortest record for each address, and no end record where there is no start address. */
const harmless = new Set<string>(["s-record/widths-mixed", "s-record/end-left-out"]);

/** Some forty pieces, most of them small, that do not touch, below `limit` and up to its last byte. */
function sparseImage(random: Random, limit: number): Image {
  const parts: { address: number; bytes: Uint8Array }[] = [];
  let end = limit;
  for (let i = 0; i < 40 && end > 600; i++) {
    const bytes = random.bytes(random.below(i % 8 === 0 ? 500 : 40) + 1);
    const address = end - bytes.length;
    parts.push({ address, bytes });
    end = address - 1 - random.below(i % 3 === 0 ? 8 : Math.max(9, Math.floor(limit / 60)));
  }
  return Image.of(parts);
}

/** `work` on each of `items`, four at a time. */
async function four<T>(items: readonly T[], work: (item: T) => Promise<void>): Promise<void> {
  const rest = [...items];
  await Promise.all(
    Array.from({ length: 4 }, async () => {
      for (let item = rest.pop(); item !== undefined; item = rest.pop()) await work(item);
    }),
  );
}

async function through(args: readonly string[], target: string): Promise<Uint8Array> {
  const [tool = "", ...rest] = args;
  await run(tool, rest);
  return new Uint8Array(readFileSync(target));
}

describe.runIf(missing.length === 0)("general tools", () => {
  const limits = [2 ** 16, 2 ** 20, 2 ** 24, 2 ** 31 + 2 ** 16, 2 ** 32];
  const random = randomFrom(seed);
  const images = Array.from({ length: 20 }, (_, i) => sparseImage(random, limits[i % limits.length] as number));
  const options = images.map((image, i): EncodeOptions => {
    const fits20 = (image.bounds?.end ?? 0) <= 2 ** 20;
    return {
      recordLength: [16, 32, 1 + random.below(250), 255][i % 4] as number,
      addressing: i % 2 === 0 ? "auto" : fits20 ? "20-bit" : "32-bit",
      lineEnd: i % 3 === 0 ? "crlf" : "lf",
      header: i % 2 === 0 ? "workboat port" : undefined,
    };
  });

  it.each(Object.entries(tools))(
    `%s: reads and writes the same images (seed ${seed})`,
    async (name, { from, to, args }) => {
      let pieces = 0;
      await four(
        images.map((_, i) => i),
        async (i) => {
          const source = join(folder, `${name.replaceAll(" ", "-")}-${i}.${from}`);
          const target = join(folder, `${name.replaceAll(" ", "-")}-${i}-out.${to}`);
          const image = images[i] as Image;
          writeFileSync(source, encode(image, from === "hex" ? "intel-hex" : "s-record", options[i]));
          const decoded = decode(await through(args(source, target), target));
          expect(decoded.format).toBe(to === "hex" ? "intel-hex" : "s-record");
          expect(decoded.image.spans, `image ${i}`).toEqual(image.spans);
          expect(decoded.image.equals(image)).toBe(true);
          expect(decoded.findings.map(({ code }) => code).filter((code) => !harmless.has(code))).toEqual([]);
          pieces += image.segments.length;
        },
      );
      expect(pieces).toBeGreaterThan(400);
    },
  );

  it("objcopy fills a raw file from the same bytes", async () => {
    const image = sparseImage(random, 2 ** 16);
    const source = join(folder, "raw.hex");
    const target = join(folder, "raw.bin");
    writeFileSync(source, encode(image, "intel-hex"));
    const raw = await through(["objcopy", "-I", "ihex", "-O", "binary", "--gap-fill", "0xA5", source, target], target);
    expect(Buffer.compare(raw, encode(image, "raw", { fill: 0xa5 }))).toBe(0);
  });

  it("srec_cat reads the published cases as it is noted of each", async () => {
    const load = (name: string) =>
      JSON.parse(
        readFileSync(new URL(`../../../../test-vectors/standards/${name}-vectors.json`, import.meta.url), "utf8"),
      ).files as { name: string; text: string; srecCat164: string }[];
    const cases = [
      ...load("intel-hex").map((one) => ({ ...one, format: "-intel" })),
      ...load("s-record").map((one) => ({ ...one, format: "-motorola" })),
    ].filter(({ srecCat164 }) => srecCat164 === "accepts, same memory");
    await four(cases, async ({ name, text, format }) => {
      const source = join(folder, `case-${name}${format}`);
      const target = `${source}.out`;
      writeFileSync(source, text);
      const theirs = decode(await through(["srec_cat", source, format, "-o", target, format], target));
      const ours = decode(new Uint8Array(readFileSync(source)), {
        format: format === "-intel" ? "intel-hex" : "s-record",
      });
      expect(ours.image.equals(theirs.image), name).toBe(true);
    });
    expect(cases.length).toBe(38);
  });

  // Where the specification and GNU objcopy part, the specification is followed and a finding says so.
  it.each([
    [
      "a segment that wraps",
      ":020000021000EC\n:04FFFE0001020304F5\n:00000001FF\n",
      "intel-hex/segment-wrap",
      [0x1fffe],
    ],
    [
      "mixed bases",
      ":020000040002F8\n:0100000011EE\n:020000021000EC\n:0100000022DD\n:00000001FF\n",
      "intel-hex/bases-mixed",
      [0x20000, 0x30000],
    ],
  ])("objcopy reads %s differently", async (name, text, code, starts) => {
    const source = join(folder, `${name.replaceAll(" ", "-")}.hex`);
    const target = `${source}.srec`;
    writeFileSync(source, text);
    const ours = decode(new TextEncoder().encode(text));
    expect(ours.findings.map((one) => one.code)).toEqual([code]);
    const theirs = decode(await through(["objcopy", "-I", "ihex", "-O", "srec", source, target], target));
    expect(theirs.image.spans.map(({ start }) => start)).toEqual(starts);
    expect(theirs.image.equals(ours.image)).toBe(false);
  });

  it("both keep the start address", async () => {
    const image = Image.of([{ address: 0x1000, bytes: Uint8Array.of(1, 2, 3) }]);
    const start = { kind: "linear", address: 0x80001234 } as const;
    for (const [name, { from, to, args }] of Object.entries(tools)) {
      const source = join(folder, `start-${name.replaceAll(" ", "-")}.${from}`);
      const target = `${source}-out.${to}`;
      writeFileSync(source, encode(image, from === "hex" ? "intel-hex" : "s-record", { start }));
      expect(decode(await through(args(source, target), target)).start?.address, name).toBe(start.address);
    }
  });
});
