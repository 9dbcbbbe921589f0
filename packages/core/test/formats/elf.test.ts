import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { catalogue } from "../../src/findings/catalogue.js";
import { decode } from "../../src/formats/decode.js";
import { randomFrom, seed } from "../reference/random.js";
import { corpusFile, elfFile } from "./container-files.js";

// Layout: System V ABI, from memory. Witnesses: GNU readelf, and the raw images that makers put beside their ELF files.

const codesOf = (file: Uint8Array) => decode(file).findings.map(({ code }) => code);
const [port, starboard] = [Uint8Array.of(1, 2, 3, 4, 5), Uint8Array.of(9, 8, 7)];
const kinds = ([32, 64] as const).flatMap((width) =>
  (["little", "big"] as const).map((order) => [width, order] as const),
);

const folder = mkdtempSync(join(tmpdir(), "assay-elf-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const readelf = spawnSync("readelf", ["--version"]).status === 0;
if (!readelf && process.env.ASSAY_REQUIRE_TOOLS === "1") throw new Error("readelf not found: install binutils");

/** What readelf says of the loadable segments: offset, physical address, bytes in the file. */
function segmentsByReadelf(file: Uint8Array): [number, number, number][] {
  const path = join(folder, "file.elf");
  writeFileSync(path, file);
  const lines = spawnSync("readelf", ["-lW", path], { encoding: "utf8" }).stdout.split("\n");
  return lines.flatMap((line): [number, number, number][] => {
    const [type, offset, , physical, length] = line.trim().split(/\s+/);
    return type === "LOAD" && Number(length) > 0 ? [[Number(offset), Number(physical), Number(length)]] : [];
  });
}

describe.each(kinds)("an ELF file of %i bits, %s-endian", (width, order) => {
  const segments = [
    { physical: 0x8000, virtual: 0x10, bytes: port },
    { type: 2, physical: 0, bytes: starboard },
    { physical: 0xfffffffd, bytes: starboard },
    { physical: 0x9000, bytes: new Uint8Array(0) },
  ];
  const file = elfFile(width, order, segments, { entry: 0x8001 });

  it("is the content of its loadable segments at their physical addresses", () => {
    const decoded = decode(file);
    expect(decoded.format).toBe("elf");
    expect(decoded.image.segments.map(({ address, bytes }) => [address, [...bytes]])).toEqual([
      [0x8000, [1, 2, 3, 4, 5]],
      [0xfffffffd, [9, 8, 7]],
    ]);
    expect(decoded.start).toEqual({ kind: "linear", address: 0x8001 });
    expect(decoded.findings).toEqual([
      { code: "elf/program", facts: { width, order, machine: "PowerPC", segments: 2 }, where: [] },
    ]);
    const offset = decoded.originOf(0x8003)?.offset ?? 0;
    expect(file[offset]).toBe(4);
    expect(decoded.originOf(0x8005)).toBeUndefined();
  });

  it.runIf(readelf)("is seen by readelf as it is seen here", () => {
    const { image, originOf } = decode(file);
    const seen = segmentsByReadelf(file);
    expect(seen).toHaveLength(2);
    for (const [offset, physical, length] of seen) {
      expect(image.read({ start: physical, end: physical + length })).toEqual(file.subarray(offset, offset + length));
      expect(originOf(physical)?.offset).toBe(offset);
    }
  });

  it("is refused wherever it was cut, and holds only what is there", () => {
    for (let length = 4; length < file.length; length++) {
      const cut = decode(file.subarray(0, length));
      expect(cut.format).toBe("elf");
      expect(
        cut.findings.some(({ code }) => catalogue[code].severity === "stop"),
        `${length}`,
      ).toBe(true);
    }
    const { findings, image } = decode(file.subarray(0, -1));
    expect(findings[0]).toMatchObject({ code: "elf/segment-cut", facts: { segment: 2, size: file.length - 1 } });
    expect(image.length).toBe(7);
  });

  it("says which field of its header cannot be", () => {
    const changed = (at: number, value: number) => {
      const copy = file.slice();
      copy[at] = value;
      return decode(copy).findings[0];
    };
    expect(changed(4, 3)).toMatchObject({ code: "elf/header-damaged", facts: { field: "width", got: "3" } });
    expect(changed(5, 0)).toMatchObject({ facts: { field: "byte order" }, where: [{ offset: 5 }] });
    expect(changed(6, 0)).toMatchObject({ facts: { field: "version" } });
    const [table, count] = width === 32 ? [28, 44] : [32, 56];
    const low = (at: number, size: number) => (order === "little" ? at : at + size - 1);
    expect(changed(low(table, width / 8), 0xff)).toMatchObject({ facts: { field: "program headers" } });
    expect(changed(low(count - 2, 2), 1)).toMatchObject({ facts: { field: "length of a program header" } });
    expect(changed(low(count, 2), 0)).toMatchObject({ code: "elf/segments-absent" });
  });

  it("takes virtual addresses where there are no physical ones, as general tools do", () => {
    const segment = (virtual: number, bytes: Uint8Array) => ({ physical: 0, virtual, bytes });
    const decoded = decode(elfFile(width, order, [segment(0x100, port), segment(0x200, starboard)]));
    expect(decoded.image.spans.map(({ start }) => start)).toEqual([0x100, 0x200]);
    expect(decoded.findings.map(({ code }) => code)).toEqual(["elf/physical-addresses-absent", "elf/program"]);
  });

  it("does not decide between two segments at one address", () => {
    const decoded = decode(
      elfFile(
        width,
        order,
        [port, starboard].map((bytes) => ({ physical: 0x40, bytes })),
      ),
    );
    const conflict = decoded.findings.find(({ code }) => code === "file/overlap-conflict");
    expect(conflict?.facts).toMatchObject({ address: 0x40, length: 3, kept: 1, dropped: 9 });
    expect(catalogue["file/overlap-conflict"].says(conflict?.facts as never)).toContain("in one block of the file");
  });

  it("made of headers that all name the same bytes costs no more than the file", () => {
    const content = new Uint8Array(100_000).fill(7);
    const many = Array.from({ length: 2000 }, (_, i) => ({
      physical: 0x100000 * i,
      bytes: i === 1999 ? content : port,
    }));
    const made = elfFile(width, order, many);
    const view = new DataView(made.buffer);
    const [head, step, at] = width === 32 ? [52, 32, 16] : [64, 56, 32];
    for (let i = 0; i < 1999; i++) {
      // each says 50 000 bytes from the start of the file
      const put = (field: number, value: number) =>
        width === 32
          ? view.setUint32(head + step * i + 4 * field + 4, value, order === "little")
          : view.setBigUint64(head + step * i + 8 * field + 8, BigInt(value), order === "little");
      put(0, 0);
      put(3, 50_000);
    }
    expect(at).toBeGreaterThan(0);
    const decoded = decode(made);
    expect(decoded.findings.map(({ code }) => code)).toContain("elf/content-repeated");
    expect(decoded.image.length).toBeLessThanOrEqual(2 * made.length);
  });
});

it("of 64 bits says that a segment lies too high", () => {
  const file = elfFile(64, "little", [
    { physical: 2 ** 40, bytes: port },
    { physical: 16, bytes: starboard },
  ]);
  const { findings, image } = decode(file);
  expect(findings[0]).toMatchObject({ code: "elf/address-too-high", facts: { address: "0x0000010000000000" } });
  expect(image.length).toBe(3);
});

it("with one changed byte at random never throws and never allocates more than twice itself", () => {
  const random = randomFrom(seed);
  for (let round = 0; round < 2000; round++) {
    const [width, order] = kinds[round % 4] as (typeof kinds)[number];
    const file = elfFile(width, order, [
      { physical: 0x100, bytes: port },
      { physical: 0x104, bytes: starboard },
    ]);
    for (let i = 0; i <= round % 3; i++) file[random.below(file.length)] = random.below(256);
    expect(decode(file, { format: "elf" }).image.length).toBeLessThanOrEqual(2 * file.length);
  }
});

// Makers' own ELF files beside their own raw images: Debian packages u-boot-qemu, opensbi, firmware-tomu.
const beside = [
  ["u-boot-qemu/usr/lib/u-boot/qemu-ppce500/uboot.elf", "u-boot.bin"],
  ["opensbi/usr/lib/riscv64-linux-gnu/opensbi/generic/fw_jump.elf", "fw_jump.bin"],
  ["opensbi/usr/lib/riscv64-linux-gnu/opensbi/generic/fw_dynamic.elf", "fw_dynamic.bin"],
  ["firmware-tomu/usr/lib/firmware-tomu/toboot.elf", "toboot.bin"],
] as const;

describe.each(beside)("the real file %s", (name, raw) => {
  const file = corpusFile(name);
  const image = corpusFile(name.replace(/[^/]+$/, raw));

  it.runIf(file && image)("holds the raw image that its maker put beside it", () => {
    const decoded = decode(file as Uint8Array);
    const bounds = decoded.image.bounds ?? { start: 0, end: 0 };
    expect(decoded.image.filled([bounds], 0).read(bounds)).toEqual(image);
  });
});

describe.each([
  "qemu-system-data/usr/share/qemu/s390-netboot.img",
  "qemu-system-data/usr/share/qemu/openbios-sparc64",
  "qemu-system-data/usr/share/qemu/hppa-firmware.img",
  "qemu-system-data/usr/share/qemu/openbios-ppc",
  "u-boot-qemu/usr/lib/u-boot/maltael/uboot.elf",
  "u-boot-qemu/usr/lib/u-boot/qemu-x86/uboot.elf",
  "u-boot-qemu/usr/lib/u-boot/qemu_arm64/uboot.elf",
])("the real file %s", (name) => {
  const file = corpusFile(name);

  it.runIf(file && readelf)("is read as readelf reads it, and refused when it was cut", () => {
    const bytes = file as Uint8Array;
    const { image, findings } = decode(bytes);
    // The header of the file itself is left out where a segment begins with it.
    const own = (findings.find(({ code }) => code === "elf/header-left-out")?.facts as { length: number } | undefined)
      ?.length;
    const seen = segmentsByReadelf(bytes).map(([offset, physical, length]): [number, number, number] =>
      offset === 0 ? [own ?? 0, physical + (own ?? 0), length - (own ?? 0)] : [offset, physical, length],
    );
    expect(own !== undefined).toBe(name.includes("s390"));
    expect(seen.reduce((total, [, , length]) => total + length, 0)).toBe(image.length);
    for (const [offset, physical, length] of seen) {
      const span = { start: physical, end: physical + length };
      expect(Buffer.compare(image.read(span) as Uint8Array, bytes.subarray(offset, offset + length))).toBe(0);
    }
    expect(findings.filter(({ code }) => catalogue[code].severity !== "note")).toEqual([]);
    const last = Math.max(...seen.map(([offset, , length]) => offset + length));
    expect(codesOf(bytes.subarray(0, last - 1))).toContain("elf/segment-cut");
  });
});
