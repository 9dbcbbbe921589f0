import { describe, expect, it } from "vitest";
import { fromLatin1 } from "../../src/bytes/text.js";
import { catalogue } from "../../src/findings/catalogue.js";
import { decode } from "../../src/formats/decode.js";
import { encode } from "../../src/formats/encode.js";
import { Image } from "../../src/image/image.js";
import { randomFrom, seed } from "../reference/random.js";

const bytesOf = (text: string) => fromLatin1(text) as Uint8Array;
const read = (text: string) => decode(bytesOf(text), { format: "ti-txt" });
const codesOf = (text: string) => read(text).findings.map(({ code }) => code);
const doubtful = (text: string) => read(text).findings.some(({ code }) => catalogue[code].severity !== "note");

// The example of srec_ti_txt(5), SRecord 1.64, which has it from Texas Instruments SLAU101, section A.2.
const example = `@F000
31 40 00 03 B2 40 80 5A 20 01 D2 D3 22 00 D2 E3
21 00 3F 40 E8 FD 1F 83 FE 23 F9 3F
@FFFE
00 F0
q
`;

describe("TI-TXT", () => {
  it("reads the published example", () => {
    const { format, image, findings, originOf } = decode(bytesOf(example));
    expect(format).toBe("ti-txt");
    expect(image.spans).toEqual([
      { start: 0xf000, end: 0xf01c },
      { start: 0xfffe, end: 0x10000 },
    ]);
    expect(image.byteAt(0xf010)).toBe(0x21);
    expect(findings).toEqual([]);
    expect([0xf000, 0xf01b, 0xffff].map((at) => originOf(at)?.line)).toEqual([2, 3, 5]);
    expect(new TextDecoder().decode(encode(image, "ti-txt"))).toBe(example);
  });

  it("is seen for what it is, and only then", () => {
    const formatOf = (text: string) => decode(bytesOf(text)).format;
    expect(formatOf(example.toLowerCase())).toBe("ti-txt");
    expect(formatOf(`\n  ${example.replaceAll("\n", "\r\n")}`)).toBe("ti-txt");
    expect(formatOf(example.replaceAll(" ", "\t").replace("q", ""))).toBe("ti-txt");
    expect(formatOf("@home is a remark\n31 40\n")).toBe("raw");
    expect(formatOf("31 40 00\n@F000\n31\nq\n")).toBe("raw");
    expect(formatOf("@F000\nport and starboard\nof a harbour workboat\n")).toBe("raw");
  });

  it("tells damage with its place, and places nothing after it until the next address", () => {
    const damaged = read(example.replace("B2", "B?"));
    expect(damaged.findings).toEqual([
      {
        code: "ti-txt/digit-wrong",
        facts: { line: 2, column: 14, character: 0x3f, lines: 1 },
        where: [{ line: 2, offset: 6 }],
      },
    ]);
    expect(damaged.image.spans).toEqual([{ start: 0xfffe, end: 0x10000 }]);
    expect(read(example.replace("40 00", "4000")).findings[0]?.facts).toMatchObject({ line: 2, column: 6 });
    expect(read(example.replace("@F000", "@F00G")).findings[0]).toMatchObject({
      code: "ti-txt/address-wrong",
      facts: { text: "@F00G", lines: 2 },
    });
    expect(read(example.slice(6)).findings[0]).toMatchObject({ code: "ti-txt/data-unplaced", facts: { lines: 1 } });
    expect(codesOf("@FFFFFFFF\n01 02\nq\n")).toEqual(["ti-txt/address-overflow", "file/empty"]);
  });

  it("doubts what only the width of lines and the end can show", () => {
    expect(codesOf(example.replace("31 40 ", "31 "))).toEqual(
      ["ti-txt/lines-uneven"].slice(1).concat("ti-txt/line-width"),
    );
    const long = `@0\n${"01 02 03 04\n".repeat(3)}01 02 03\n${"01 02 03 04\n".repeat(2)}q\n`;
    expect(read(long).findings).toMatchObject([
      { code: "ti-txt/lines-uneven", facts: { width: 4, got: 3, count: 1, lines: [5] } },
      { code: "ti-txt/line-width", facts: { width: 4 } },
    ]);
    expect(codesOf(example.replace("q\n", ""))).toEqual(["ti-txt/missing-end"]);
    expect(codesOf(`${example}@0\n01 02\n`)).toEqual(["ti-txt/text-after-end"]);
    expect(codesOf("")).toEqual(["ti-txt/missing-end", "file/empty"]);
  });

  it("says so when it was cut anywhere before its end", () => {
    const silent: number[] = [];
    for (let length = 0; length < example.length - 2; length++)
      if (!doubtful(example.slice(0, length))) silent.push(length);
    expect(silent).toEqual([]);
  });

  it(`survives any text (seed ${seed})`, () => {
    const random = randomFrom(seed);
    const alphabet = "@0123456789ABCDEFabcdef  \t\r\n\n\nqQ\0\x1a?";
    for (let round = 0; round < 2000; round++) {
      const text = Array.from({ length: random.below(200) }, () => alphabet[random.below(alphabet.length)]).join("");
      const { image, findings, originOf } = read(text);
      if (image.length === 0) expect(findings.length).toBeGreaterThan(0);
      for (const { start } of image.spans) expect(originOf(start)?.line).toBeGreaterThan(0);
    }
    for (const unit of ["A", "@", "00", "00 ", "q", "@0\n00\n"]) {
      expect(read(unit.repeat(1_000_000 / unit.length)).findings.length).toBeLessThan(110);
    }
  });

  it(`is written so that it reads the same (seed ${seed})`, () => {
    const random = randomFrom(seed);
    for (let round = 0; round < 50; round++) {
      const image = Image.of([
        { address: random.below(1000), bytes: random.bytes(1 + random.below(100)) },
        { address: 0xfff0, bytes: random.bytes(40) },
        { address: 2 ** 32 - 7, bytes: random.bytes(7) },
      ]);
      const again = decode(encode(image, "ti-txt", { lineEnd: round % 2 === 0 ? "crlf" : "lf" }));
      expect(again.format).toBe("ti-txt");
      expect(again.image.equals(image)).toBe(true);
      expect(again.findings).toEqual([]);
    }
  });
});
