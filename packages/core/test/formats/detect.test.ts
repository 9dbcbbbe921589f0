import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fromLatin1 } from "../../src/bytes/text.js";
import { detectFormat } from "../../src/formats/detect.js";
import { randomFrom, seed } from "../reference/random.js";
import { hexRecord, sRecord } from "./generated-files.js";

const bytesOf = (text: string) => fromLatin1(text) as Uint8Array;
const files = (name: string): { name: string; text: string }[] =>
  JSON.parse(readFileSync(new URL(`../../../../test-vectors/standards/${name}-vectors.json`, import.meta.url), "utf8"))
    .files;
const lines = (count: number) =>
  Array.from({ length: count }, (_, i) => hexRecord(0, 16 * i, new Uint8Array(16).fill(i)));
const sLines = (count: number) =>
  Array.from({ length: count }, (_, i) => sRecord(1, 16 * i, new Uint8Array(16).fill(i)));

describe("the format of a file", () => {
  it.each(["intel-hex", "s-record"])("is %s for every published case, damaged or not", (format) => {
    for (const { name, text } of files(format)) {
      const { format: found } = detectFormat(new Uint8Array(Buffer.from(text, "utf8")));
      expect(found, name).toBe(text === "" ? "raw" : format);
    }
  });

  it("is told with what speaks for it", () => {
    expect(detectFormat(bytesOf(`; remark\n${lines(3).join("\n")}\n:1000\n:100000zz\n`))).toMatchObject({
      format: "intel-hex",
      records: 3,
      damaged: 0,
      lookedAt: 157,
    });
    expect(detectFormat(bytesOf(`${lines(3).join("\n")}\n`))).toMatchObject({ records: 3, share: 1 });
  });

  it.each([
    ["a colon first", ":\x01\x02\x03\x80\x90"],
    ["an S first", "S1\x00\x80\xff\xfe"],
    ["a record in erased memory", `\xff\xff\xff\xff${":00000001FF\n".padStart(400, "\xff")}`],
    ["a record in zeros", `\x01${"\0".repeat(500)}:00000001FF\n${"\0".repeat(500)}\x02`],
    ["text with a colon", ": this is a list of parts\n: port\n: starboard\n"],
    ["a listing", "0000: 12 34 56 78\n0010: 12 34 56 78\n"],
    ["base64", "U29tZSB0ZXh0IHRoYXQgaXMgbm8gcmVjb3Jk\n"],
    [
      "a page that quotes a record",
      `${"The last record of a file says that it ends there. ".repeat(20)}\n:00000001FF\n`,
    ],
    ["nothing", ""],
    ["blanks", "   \n\n"],
  ])("is raw for %s", (_name, text) => expect(detectFormat(bytesOf(text)).format).toBe("raw"));

  it.each([
    [
      "all checksums wrong",
      lines(20)
        .map((line) => `${line.slice(0, -2)}ZZ`)
        .join("\n"),
    ],
    ["a block of other bytes", `${lines(100).join("\n")}\n${"\x80\x01\xff\0".repeat(100)}\n${lines(100).join("\n")}`],
    ["its beginning lost", lines(20).join("\n").slice(17)],
    ["zeros around it", `${"\0".repeat(1000)}${lines(5).join("\n")}\n${"\0".repeat(4000)}`],
    ["all line ends lost", lines(50).join("")],
    ["a long remark before it", `${"; a remark of some length\n".repeat(100)}${lines(40).join("\n")}`],
    ["lengths that count words (INHX16)", ":0200000001020304F4\n:0200020001020304F2\n:00000001FF\n"],
  ])("is Intel HEX in spite of %s", (_name, text) => expect(detectFormat(bytesOf(text)).format).toBe("intel-hex"));

  it.each([
    ["small marks", sLines(5).join("\n").toLowerCase()],
    ["symbols before it", `$$ MODULE\n  START $0000\n$$\n${sLines(5).join("\n")}`],
    [
      "all checksums wrong",
      sLines(9)
        .map((line) => `${line.slice(0, -2)}00`)
        .join("\n"),
    ],
  ])("is S-records in spite of %s", (_name, text) => expect(detectFormat(bytesOf(text)).format).toBe("s-record"));

  it(`is raw for bytes at random, whatever they begin with (seed ${seed})`, () => {
    const random = randomFrom(seed);
    for (let round = 0; round < 500; round++) {
      // Long enough that a whole end record of 12 bytes is not most of it: such a file is text for the most part.
      const bytes = random.bytes(random.below(400) + 100);
      bytes.set(bytesOf([":10", "S1", "S3", ":00000001FF\n"][round % 4] as string));
      expect(detectFormat(bytes).format).toBe("raw");
    }
  });

  it("is the one with more whole records when both are there", () => {
    expect(detectFormat(bytesOf([...lines(3), ...sLines(5)].join("\n"))).format).toBe("s-record");
    expect(detectFormat(bytesOf([...lines(5), ...sLines(3)].join("\n"))).format).toBe("intel-hex");
  });

  it("is looked for no longer than it takes to be sure, and in the first 64 KiB only", () => {
    expect(detectFormat(bytesOf(lines(4000).join("\n")))).toMatchObject({ records: 40, lookedAt: 40 * 44 - 1 });
    expect(detectFormat(bytesOf(`${"; a remark\n".repeat(7000)}${lines(400).join("\n")}`)).format).toBe("raw");
    expect(detectFormat(new Uint8Array(100_000).fill(0x41)).lookedAt).toBe(65_536);
  });
});
