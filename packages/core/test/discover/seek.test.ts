import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { algorithmOf } from "../../src/algorithms/algorithm.js";
import { fromHex } from "../../src/bytes/hex.js";
import { familiesToSeek } from "../../src/discover/families.js";
import { Image } from "../../src/image/image.js";
import { type FoundChecksum, type PlanOptions, seekChecksums } from "../../src/index.js";
import { readRealImage, realImagesPresent } from "../real-images.js";
import { scatteredFrom, seed } from "../reference/random.js";

function found(contents: readonly Uint8Array[], options: PlanOptions = {}, address = 0): readonly FoundChecksum[] {
  const search = seekChecksums(
    contents.map((bytes) => Image.of([{ address, bytes }])),
    options,
  );
  let step = search.next();
  while (!step.done) step = search.next();
  return step.value.found;
}

const decided = (all: readonly FoundChecksum[]) => all.filter(({ certainty }) => certainty !== "chance");

describe.runIf(realImagesPresent)("real images", () => {
  // The checksums are the images' own. Where they stand and what they cover: Particle device-os, module_info.h, and
  // binary-version-reader 3.1.3; an independent decoder confirmed each of them.
  const apps = "npm/particle-cli-3.51.0/package/assets/knownApps";
  it.each([
    ["photon/tinker/tinker-0.4.5-photon.bin", 5320],
    ["esomx/tinker/tinker-6.3.4-esomx.bin", 8850],
  ])("%s: the CRC-32 of the module, and nothing else that would be more than chance", (path, at) => {
    expect(decided(found([readRealImage(`${apps}/${path}`)]))).toMatchObject([
      {
        algorithm: "CRC-32/ISO-HDLC",
        ranges: [{ start: 0, length: at }],
        stored: { start: at, width: 32, order: "big", form: "value" },
      },
    ]);
  });

  it("two platforms of one application: certain", () => {
    const reads = ["photon/tinker/tinker-0.4.5-photon.bin", "p1/tinker/tinker-0.4.5-p1.bin"];
    const all = found(reads.map((path) => readRealImage(`${apps}/${path}`)));
    expect(all[0]).toMatchObject({
      algorithm: "CRC-32/ISO-HDLC",
      certainty: "certain",
      ranges: [{ start: 0, length: 5320 }],
    });
  });
});

describe("published images that check themselves", () => {
  // A small image is laid into 4 KiB of code-like bytes at a block, as a file of a flash is: found where it lies.
  const { images } = JSON.parse(
    readFileSync(new URL("../../../../test-vectors/standards/image-format-vectors.json", import.meta.url), "utf8"),
  ) as { images: readonly { name: string; hex: string }[] };
  const bytesOf = (name: string) => fromHex((images.find((image) => image.name === name) as { hex: string }).hex);

  // U-Boot, include/image.h (struct legacy_img_hdr): the header's CRC is taken with its own field as zeros.
  it("the header of a U-Boot legacy image, its CRC inside", () => {
    expect(decided(found([bytesOf("uimage-legacy")]))).toContainEqual(
      expect.objectContaining({
        algorithm: "CRC-32/ISO-HDLC",
        ranges: [{ start: 0, length: 64 }],
        stored: { start: 4, width: 32, order: "big", form: "value", inside: "zeros", place: "told" },
      }),
    );
  });
});

describe(`made-up memories, seed ${seed}`, () => {
  const random = scatteredFrom(seed);

  it("says nothing of random bytes", () => {
    expect(decided(found([random.bytes(8192)]))).toEqual([]);
    expect(decided(found([random.bytes(4096), random.bytes(4096)]))).toEqual([]);
  });

  // CRC-32/XFER starts from nothing and adds nothing, as XOR does: the register is empty again behind a block and its value.
  it.each(["CRC-32/XFER", "xor32-be"])("blocks in a row of %s, each by itself", (algorithm) => {
    const contents = [random.bytes(8192), random.bytes(8192)];
    for (const content of contents) {
      for (const end of [2048, 4096, 8192]) {
        const start = end === 8192 ? 4096 : end - 2048;
        const running = algorithmOf(algorithm).start();
        running.update(content.subarray(start, end - 4));
        new DataView(content.buffer).setUint32(end - 4, Number(running.value()));
      }
    }
    const ranges = decided(found(contents)).map(({ ranges }) => ranges[0]);
    // The value of a CRC stands behind its range; of XOR any word of both may be it, so the range holds it.
    const value = algorithm === "xor32-be" ? 0 : 4;
    expect(ranges).toEqual([
      { start: 4096, length: 4096 - value },
      { start: 0, length: 2048 - value },
      { start: 2048, length: 2048 - value },
    ]);
  });

  // Internet checksum: RFC 1071; any word of what sums up to all ones may be the value.
  it.each([
    ["xor32-be", 4, (sum: number) => sum, "00000000"],
    ["sum32-be", 4, (sum: number) => ~sum, "ffffffff"],
    ["sum32-be", 4, (sum: number) => -sum, "00000000"],
    ["sum16-carry-be", 2, (sum: number) => ~sum, "ffff"],
  ])("%s in %s bytes before its range: the range is told, the place is not", (algorithm, bytes, form, constant) => {
    const first = random.bytes(4096);
    const contents = [first, ...Array.from({ length: bytes === 2 ? 3 : 1 }, () => first.slice())];
    for (const [i, content] of contents.entries()) {
      for (const at of i === 0 ? [] : [1100, 1400, 1700, 1900]) content.set(random.bytes(4), at);
      const running = algorithmOf(algorithm).start();
      running.update(content.subarray(1024 + bytes, 2048));
      const value = form(Number(running.value()));
      const view = new DataView(content.buffer);
      if (bytes === 4) view.setUint32(1024, value);
      else view.setUint16(1024, value);
    }
    const [one, ...more] = decided(found(contents));
    expect(more).toEqual([]);
    expect(one).toMatchObject({
      algorithm,
      ranges: [{ start: 1024, length: 1024 }],
      stored: { form: "whole-comes-to-constant", constant, place: "not-told" },
    });
    const { possible, start } = (one as FoundChecksum).stored;
    expect(possible?.at).toContain(1024);
    expect(possible?.at).toContain(start);
    // Only words that changed can be the value of what changed: four of four bytes, and the value.
    expect(possible?.count).toBe(possible?.at?.length);
    expect(possible?.count).toBeLessThanOrEqual(1 + 16 / bytes);
  });

  it("a value that no other word can be, and zeros that count: place and ends are told", () => {
    const content = random.bytes(4096);
    content.fill(0, 0, 48);
    const running = algorithmOf("CRC-32/ISO-HDLC").start();
    running.update(content.subarray(0, 2044));
    new DataView(content.buffer).setUint32(2044, Number(running.value()));
    const [one, ...more] = decided(found([content]));
    expect(more).toEqual([]);
    expect(one).toMatchObject({ ranges: [{ start: 0, length: 2044 }], stored: { start: 2044, place: "told" } });
    expect(one).not.toHaveProperty("mayBegin");
    expect(one).not.toHaveProperty("mayEnd");
  });

  it("a sum of all words with zeros behind them, once", () => {
    const contents = [random.bytes(4096), random.bytes(4096)];
    for (const content of contents) {
      const view = new DataView(content.buffer);
      content.fill(0, 2048, 3072);
      let sum = 0;
      for (let at = 0; at < 2044; at += 4) sum += view.getUint32(at);
      view.setUint32(2044, 0x5aa55aa5 - sum);
    }
    expect(decided(found(contents))).toMatchObject([
      {
        algorithm: "sum32-be",
        stored: { form: "whole-comes-to-constant", constant: "5aa55aa5", place: "not-told" },
        certainty: "certain",
      },
    ]);
  });

  it("a range that begins in zeros: at the roundest address, and from where to where it may", () => {
    const content = random.bytes(8192);
    content.fill(0, 4000, 4500);
    const running = algorithmOf("sum32-be").start();
    running.update(content.subarray(4096, 8184));
    const view = new DataView(content.buffer);
    view.setUint32(8184, Number(running.value()));
    view.setUint32(8188, ~Number(running.value()));
    expect(decided(found([content]))).toMatchObject([
      {
        algorithm: "sum32-be",
        ranges: [{ start: 4096, length: 4088 }],
        mayBegin: { from: 4000, to: 4500 },
        stored: { start: 8184, form: "value-and-complement" },
      },
    ]);
  });

  it.each(["big", "little"] as const)(
    "sums of bytes in a table, %s: as wide as they are, not their lower half",
    (order) => {
      const [part, table] = [81920, 3 * 81920 + 4000];
      const base = random.bytes(4 * part);
      const contents = [0, 1, 2].map(() => {
        const content = base.slice();
        const view = new DataView(content.buffer);
        for (let i = 0; i < 3; i++) {
          content.set(random.bytes(96), part * i + 512);
          const running = algorithmOf("sum32-bytes").start();
          running.update(content.subarray(part * i, part * (i + 1)));
          view.setUint32(table + 160 * i, Number(running.value()), order === "little");
        }
        return content;
      });
      const families = [...familiesToSeek().entries()].filter(([, { name }]) => /^sum(16|32)-bytes$/.test(name));
      const all = decided(found(contents, { families: families.map(([i]) => i), searches: ["blocks"] }));
      const told = all.map(({ algorithm, ranges, stored: { start, width } }) => [
        algorithm,
        ranges[0]?.start,
        start,
        width,
      ]);
      expect(told.sort()).toEqual([0, 1, 2].map((i) => ["sum32-bytes", part * i, table + 160 * i, 32]).sort());
    },
  );

  it("says nothing of fill, of counting words, of a linear table", () => {
    const content = new Uint8Array(16384).fill(0xff);
    for (let i = 0; i < 4096; i += 4) content.set([0, 0, i >> 8, i & 255], i);
    for (let i = 0; i < 256; i++) content.set([i, i ^ (i << 1), (i * 2) & 255, i & 1], 8192 + 4 * i);
    expect(decided(found([content]))).toEqual([]);
  });

  it("finds nothing in less than a range", () => {
    expect(found([new Uint8Array(0)])).toEqual([]);
    expect(found([random.bytes(63)])).toEqual([]);
    expect(found([])).toEqual([]);
  });
});
