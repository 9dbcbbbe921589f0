import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { decode } from "../../src/formats/decode.js";
import type { WrittenFormatName } from "../../src/formats/decoded.js";
import { type EncodeOptions, encode } from "../../src/formats/encode.js";
import { Image } from "../../src/image/image.js";
import { type Random, randomFrom, seed } from "../reference/random.js";
import { folderForTools, four, through, withTools } from "./general-tools.js";

// Each tool reads what this library writes and writes what it reads, but for what is noted.

const folder = folderForTools();

/** A tool that turns a file of one format into one of another. */
interface Way {
  readonly from: WrittenFormatName;
  readonly to: WrittenFormatName;
  readonly args: (source: string, target: string) => readonly string[];
}

const objcopy =
  (from: string, to: string, ...more: string[]) =>
  (a: string, b: string) => ["objcopy", "-I", from, "-O", to, ...more, a, b];
const srecCat = (from: string, to: string) => (a: string, b: string) => ["srec_cat", a, from, "-o", b, to];

const ways: Readonly<Record<string, Way>> = {
  "objcopy to S-records": { from: "intel-hex", to: "s-record", args: objcopy("ihex", "srec", "--srec-forceS3") },
  "objcopy to Intel HEX": { from: "s-record", to: "intel-hex", args: objcopy("srec", "ihex") },
  "srec_cat to S-records": { from: "intel-hex", to: "s-record", args: srecCat("-intel", "-motorola") },
  "srec_cat to Intel HEX": { from: "s-record", to: "intel-hex", args: srecCat("-motorola", "-intel") },
};

/** The formats whose whole files the tools have more to say of than their data. */
const others: Readonly<Record<string, Way>> = {
  "srec_cat reads TI-TXT": { from: "ti-txt", to: "s-record", args: srecCat("-ti_txt", "-motorola") },
  "srec_cat writes TI-TXT": { from: "s-record", to: "ti-txt", args: srecCat("-motorola", "-ti_txt") },
  "srec_cat reads Tektronix": {
    from: "tektronix-hex",
    to: "intel-hex",
    args: srecCat("-tektronix_extended", "-intel"),
  },
  "srec_cat writes Tektronix": {
    from: "intel-hex",
    to: "tektronix-hex",
    args: srecCat("-intel", "-tektronix_extended"),
  },
  // The other way round objcopy 2.40 puts what it reads at address 0, what it wrote itself too.
  "objcopy writes Tektronix": { from: "s-record", to: "tektronix-hex", args: objcopy("srec", "tekhex") },
};

/**
 * What the tools do besides: the shortest record for each address, no end record where there is no start address, and
 * symbols in Tektronix extended hex.
 */
const harmless = new Set<string>([
  "s-record/widths-mixed",
  "s-record/end-left-out",
  "tektronix-hex/symbols",
  "tektronix-hex/missing-end",
]);

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

/** Twelve pieces at multiples of `step` from each of four bases. */
function pieces(random: Random, step: number): readonly Image[] {
  return [0x1000, 0x10000, 0x100000, 0x7fff0000].map((base) =>
    Image.of(
      Array.from({ length: 12 }, (_, i) => ({
        address: base + 0x200 * i + step * random.below(4),
        bytes: random.bytes(step * (1 + random.below(i % 4 === 0 ? Math.ceil(0x100 / step) : 2))),
      })),
    ),
  );
}

/** Writes each image, has it turned over by the tool, and expects the same image in what the tool wrote. */
async function expectSame(
  name: string,
  { from, to, args }: Way,
  images: readonly Image[],
  optionsOf: (index: number) => EncodeOptions | undefined,
): Promise<void> {
  await four(images, async (image, i) => {
    const source = join(folder, `${name.replaceAll(" ", "-")}-${i}`);
    const target = `${source}-out`;
    writeFileSync(source, encode(image, from, optionsOf(i)));
    const decoded = decode(await through(args(source, target), target));
    expect(decoded.format).toBe(to);
    expect(decoded.image.spans, `image ${i}`).toEqual(image.spans);
    expect(decoded.image.equals(image)).toBe(true);
    expect(decoded.findings.map(({ code }) => code).filter((code) => !harmless.has(code))).toEqual([]);
  });
}

describe.runIf(withTools)("general tools", () => {
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

  it.each(Object.entries(ways))(`%s: reads and writes the same images (seed ${seed})`, async (name, way) => {
    expect(images.reduce((total, { segments }) => total + segments.length, 0)).toBeGreaterThan(400);
    await expectSame(name, way, images, (i) => options[i]);
  });

  // objcopy writes Tektronix extended hex in rows of 32 bytes, and fills them up.
  const [small, rows] = [pieces(random, 1), pieces(random, 32)];
  it.each(Object.entries(others))(`%s: the same images (seed ${seed})`, async (name, way) => {
    await expectSame(name, way, name.startsWith("objcopy") ? rows : small, (i) => ({
      lineEnd: i % 2 === 0 ? "lf" : "crlf",
    }));
  });

  it("objcopy fills a raw file from the same bytes", async () => {
    const image = sparseImage(random, 2 ** 16);
    const source = join(folder, "raw.hex");
    const target = join(folder, "raw.bin");
    writeFileSync(source, encode(image, "intel-hex"));
    const raw = await through(["objcopy", "-I", "ihex", "-O", "binary", "--gap-fill", "0xA5", source, target], target);
    expect(Buffer.compare(raw, encode(image, "raw", { fill: 0xa5 }))).toBe(0);
  });

  it("objcopy pads a raw file to an end with the same bytes", async () => {
    const image = sparseImage(random, 2 ** 16);
    const source = join(folder, "pad.hex");
    const target = join(folder, "pad.bin");
    writeFileSync(source, encode(image, "intel-hex"));
    const end = image.bounds ? image.bounds.end + 1234 : 0;
    const padding = ["--gap-fill", "0xA5", "--pad-to", `${end}`];
    const raw = await through(["objcopy", "-I", "ihex", "-O", "binary", ...padding, source, target], target);
    const span = { start: image.bounds?.start ?? 0, end };
    expect(Buffer.compare(raw, encode(image, "raw", { fill: 0xa5, span }))).toBe(0);
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
    for (const [name, { from, args }] of Object.entries(ways)) {
      const source = join(folder, `start-${name.replaceAll(" ", "-")}`);
      const target = `${source}-out`;
      writeFileSync(source, encode(image, from, { start }));
      expect(decode(await through(args(source, target), target)).start?.address, name).toBe(start.address);
    }
  });
});
