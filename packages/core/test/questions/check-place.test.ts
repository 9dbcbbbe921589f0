import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { askCheck } from "../../src/questions/check.js";
import { askPair } from "../../src/questions/pair.js";
import { fileAt, fileOf, profileAt } from "./files.js";

// The invented workboat, as if a program had put something before the content, left its beginning out, or given it
// another base address.
const profile = profileAt("workboat/profile.json");
const good = fileAt("read", "workboat/port-read-2.bin.gz").decoded.image.read({ start: 0, end: 0x40000 }) as Uint8Array;
const behind = (header: number, length = header + good.length) => {
  const file = new Uint8Array(header + good.length);
  for (let i = 0; i < header; i++) file[i] = 32 + (i % 90);
  file.set(good, header);
  return file.subarray(0, length);
};
const check = (file: Uint8Array, base = 0) => {
  const read = fileOf("read", file);
  const image = Image.of([{ address: base, bytes: file }]);
  return askCheck({ reads: [{ ...read, decoded: { ...read.decoded, image } }], profile, version: "0.0.0" });
};

describe("content that does not lie where the profile has it", () => {
  it.each<[string, string, Uint8Array, number?]>([
    ["behind a header of 16 bytes", "moved down by 16 bytes (0x10) all 5", behind(16)],
    ["behind one of no usual length, when the file is longer by it", "moved down by 1234 bytes", behind(1234)],
    ["behind one, with its end cut off", "moved down by 512 bytes (0x200)", behind(512, good.length)],
    ["without its first 256 bytes", "moved up by 256 bytes (0x100) all 4", good.subarray(256)],
    ["at another base address", "moved down by 8519680 bytes (0x820000) all 5", good, 0x820000],
  ])("is told %s", (_, told, file, base) => {
    const { verdict, findings } = check(file, base);
    expect(verdict).toBe("stop");
    const stops = findings.filter(({ severity }) => severity === "stop");
    expect(stops.map(({ code }) => code)).toEqual(["unit/content-moved"]);
    expect(stops[0]?.detail).toContain(told);
    expect(findings.map(({ code }) => code)).toContain("soundness/consequences");
    expect(findings.map(({ code }) => code)).not.toContain("checksum/mismatch");
  });

  it("is not told of a read in its place, whole or damaged", () => {
    const damaged = good.slice();
    for (let at = 0x100; at < damaged.length; at += 0x1000) damaged[at] = (damaged[at] as number) ^ 0x20;
    for (const file of [good, damaged]) {
      expect(check(file).findings.map(({ code }) => code)).not.toContain("unit/content-moved");
    }
  });

  it("is not told where a checksum would still fail", () => {
    const file = behind(16);
    file[16 + 0x31004] = (file[16 + 0x31004] as number) ^ 1;
    expect(check(file).findings.map(({ code }) => code)).not.toContain("unit/content-moved");
  });

  it("explains what differs in a pair", () => {
    const { findings } = askPair({
      left: fileOf("left", behind(16)),
      right: fileAt("right", "workboat/starboard.bin.gz"),
      profile,
      version: "0.0.0",
    });
    const codes = findings.map(({ code }) => code);
    expect(codes[0]).toBe("unit/content-moved");
    expect(codes.filter((code) => code.startsWith("pair/"))).toEqual([]);
  });
});
