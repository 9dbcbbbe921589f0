import { spawnSync } from "node:child_process";
import { describe, expect, it } from "vitest";
import { catalogue } from "../../src/findings/catalogue.js";
import { decode } from "../../src/formats/decode.js";
import { randomFrom, seed } from "../reference/random.js";
import { joined, uf2Block } from "./container-files.js";

// Layout: the published description of UF2, from memory. Witness: a writer in Python of the same layout, below.

const page = (fill: number, length = 256) => new Uint8Array(length).fill(fill);
const family = 0xe48bff56; // as the published list has it for one processor; from memory
const blocks = (count: number, more = {}) =>
  Array.from({ length: count }, (_, number) =>
    uf2Block({
      address: 0x10000000 + 256 * number,
      data: page(number + 1),
      number,
      count,
      flags: 0x2000,
      family,
      ...more,
    }),
  );
const codesOf = (file: Uint8Array) => decode(file).findings.map(({ code }) => code);

describe("a UF2 file", () => {
  it("is the content of its blocks at their addresses", () => {
    const { format, image, findings, originOf } = decode(joined(blocks(5)));
    expect(format).toBe("uf2");
    expect(image.spans).toEqual([{ start: 0x10000000, end: 0x10000500 }]);
    expect(image.byteAt(0x10000300)).toBe(4);
    expect(findings).toEqual([
      { code: "uf2/family", facts: { families: ["family 0xE48BFF56"], blocks: 5 }, where: [] },
    ]);
    for (const address of [0x10000000, 0x100000ff, 0x10000100, 0x10000432]) {
      const within = address - 0x10000000;
      expect(originOf(address)?.offset).toBe(512 * Math.floor(within / 256) + 32 + (within % 256));
    }
  });

  it("written by another program is read as it was meant", () => {
    const program = `
import struct, sys
data = bytes((i * 7 + i // 256) % 256 for i in range(1000))
parts = [data[i:i + 256] for i in range(0, len(data), 256)]
for n, part in enumerate(parts):
    head = struct.pack("<8I", 0x0A324655, 0x9E5D5157, 0x2000, 0x20000 + 256 * n, len(part), n, len(parts), 0xADA52840)
    sys.stdout.buffer.write(head + part.ljust(476, b"\\0") + struct.pack("<I", 0x0AB16F30))
`;
    const { status, stdout } = spawnSync("python3", ["-c", program]);
    if (status !== 0) {
      if (process.env.ASSAY_REQUIRE_TOOLS === "1") throw new Error("python3 not found");
      return console.warn("\n  NOT TESTED: python3 not found\n");
    }
    const { image } = decode(new Uint8Array(stdout));
    const wanted = Uint8Array.from({ length: 1000 }, (_, i) => i * 7 + Math.floor(i / 256));
    expect(image.read({ start: 0x20000, end: 0x20000 + 1000 })).toEqual(wanted);
    expect(image.length).toBe(1000);
  });

  it("is damaged where a mark, a length or a number is wrong, and the rest is read", () => {
    const file = joined(blocks(4));
    const changed = (at: number, value: number) => {
      const copy = file.slice();
      copy[512 * 2 + at] = value;
      return decode(copy);
    };
    const fields = [
      [4, 0, "second mark"],
      [509, 0, "end mark"],
      [17, 9, "number of data bytes"],
      [20, 9, "block number"],
    ] as const;
    for (const [at, value, field] of fields) {
      const { findings, image } = changed(at, value);
      expect(findings[0]).toMatchObject({
        code: "uf2/block-damaged",
        facts: { block: 2, field },
        where: [{ offset: 1024 }],
      });
      expect(findings[1]).toMatchObject({ code: "uf2/blocks-missing", facts: { first: 2, missing: 1, stated: 4 } });
      expect(image.length).toBe(768);
    }
  });

  it("cut anywhere is refused", () => {
    const file = joined(blocks(3));
    for (let length = 4; length < file.length; length++) {
      const stops = codesOf(file.subarray(0, length)).filter((code) => catalogue[code].severity === "stop");
      expect(stops.length, `${length}`).toBeGreaterThan(0);
    }
  });

  it("says what of it is not in the image", () => {
    const file = joined([
      ...blocks(2),
      uf2Block({ address: 0, data: page(1), number: 0, count: 1, flags: 1 }),
      uf2Block({ address: 0, data: page(1), number: 0, count: 1, flags: 0x1000 }),
    ]);
    expect(codesOf(file)).toEqual([
      "uf2/families-mixed",
      "uf2/files-passed-over",
      "uf2/blocks-passed-over",
      "uf2/family",
    ]);
    expect(decode(file).image.length).toBe(512);
    const high = uf2Block({ address: 0xffffff80, data: page(1), number: 0, count: 1 });
    expect(codesOf(high)).toEqual(["uf2/address-overflow", "uf2/family", "file/empty"]);
    expect(codesOf(joined(blocks(2, { flags: 0x6000 })))).toContain("uf2/digests-unread");
    const twice = joined([...blocks(3), ...blocks(2)]);
    expect(codesOf(twice)).toContain("uf2/counts-differ");
    expect(codesOf(twice)).toContain("file/overlap-equal");
  });

  it(`of bytes at random costs no more than its size (seed ${seed})`, () => {
    const random = randomFrom(seed);
    for (let round = 0; round < 500; round++) {
      const file = random.bytes(512 * random.below(8) + random.below(300));
      for (let at = 0; at + 512 <= file.length; at += 512) {
        if (random.below(3) > 0)
          file.set(uf2Block({ address: 0, data: page(1), number: 0, count: 1 }).subarray(0, 12), at);
        if (random.below(3) > 0) file.set([0x30, 0x6f, 0xb1, 0x0a], at + 508);
      }
      expect(decode(file, { format: "uf2" }).image.length).toBeLessThanOrEqual(file.length);
    }
    const damaged = decode(new Uint8Array(512 * 5000), { format: "uf2" });
    expect(damaged.findings.length).toBeLessThan(110);
  });
});
