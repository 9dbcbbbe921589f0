import { gzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { openPackage } from "../../src/formats/container.js";
import { flashContainerKind } from "../../src/formats/flash-container.js";
import { zipOf } from "./zip-files.js";

const bytesOf = (text: string) => new TextEncoder().encode(text);
const limits = { bytes: 2 ** 20, ratio: 200 };

describe("a package of files", () => {
  const files = {
    "index.xml": bytesOf("<CATALOG/>"),
    "boat.odx-f": bytesOf("<ODX/>"),
    "data/port.bin": new Uint8Array(5000),
  };
  const archive = zipOf(files);

  it("gives each file by its name, and says which there are", () => {
    const opened = openPackage(archive, limits);
    expect(opened.names).toEqual(Object.keys(files));
    for (const [name, content] of Object.entries(files)) expect(opened.read(name)).toEqual(content);
    expect(opened.read("port.bin")).toBeUndefined();
  });

  it("is a flash container when a flash document is in it", () => {
    expect(flashContainerKind(archive)).toBe("pdx");
    expect(flashContainerKind(zipOf({ "index.xml": bytesOf("<CATALOG/>"), "boat.bin": bytesOf("1") }))).toBeUndefined();
    expect(flashContainerKind(archive.subarray(0, 200))).toBeUndefined();
    expect(
      flashContainerKind(bytesOf('\ufeff<?xml version="1.0"?>\n<!-- remark -->\n<ODX MODEL-VERSION="2.2.0">')),
    ).toBe("odx-f");
    expect(flashContainerKind(bytesOf("<html>ODX</html>"))).toBeUndefined();
    const document = bytesOf(`<ODX><!-- ${"remark ".repeat(20_000)} --></ODX>`);
    expect(flashContainerKind(new Uint8Array(gzipSync(document)))).toBe("odx-f");
    expect(flashContainerKind(new Uint8Array(gzipSync(document)).subarray(0, 60))).toBe("odx-f");
    expect(flashContainerKind(new Uint8Array(gzipSync(bytesOf("<html>"))))).toBeUndefined();
    expect(flashContainerKind(new Uint8Array(gzipSync(document)).subarray(0, 10))).toBeUndefined();
    expect(flashContainerKind(bytesOf(":00000001FF\n<ODX>"))).toBeUndefined();
  });

  it("is limited in what all of it comes to", () => {
    const opened = openPackage(archive, { ...limits, bytes: 9000 });
    expect(opened.read("data/port.bin")).toHaveLength(5000);
    expect(() => opened.read("data/port.bin")).toThrow(/expected at most 4000 bytes/);
    const bomb = zipOf({ "a.odx-f": new Uint8Array(80 * 2 ** 20) });
    expect(bomb.length).toBeLessThan(100_000);
    expect(() => openPackage(bomb, { bytes: 2 ** 30, ratio: 200 }).read("a.odx-f")).toThrow(
      /packed file: expected at most/,
    );
  });

  it("is refused with a damaged file, two files of one name, or too many", () => {
    const damaged = archive.slice();
    const at = 30 + "index.xml".length;
    damaged[at + 3] = (damaged[at + 3] as number) ^ 1;
    expect(() => openPackage(damaged, limits).read("index.xml")).toThrow(/expected/);
    const twice = zipOf({ "a.odx-f": bytesOf("1"), "b.odx-f": bytesOf("2") });
    for (let i = 0; i + 7 < twice.length; i++)
      if (new TextDecoder().decode(twice.subarray(i, i + 7)) === "b.odx-f") twice[i] = 0x61;
    expect(() => openPackage(twice, limits)).toThrow(/expected each name once/);
    const many = zipOf(Object.fromEntries(Array.from({ length: 1001 }, (_, i) => [`f${i}`, new Uint8Array(0)])));
    expect(() => openPackage(many, limits)).toThrow(/expected at most 1000 files in it, got 1001/);
  });
});
