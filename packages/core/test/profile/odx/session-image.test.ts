import { describe, expect, it } from "vitest";
import { readFlashContainer, sessionOf } from "../../../src/profile/odx/container.js";
import { containerProfile } from "../../../src/profile/odx/container-profile.js";
import { decodeSession, type FilesBeside } from "../../../src/profile/odx/session-image.js";
import { beside, changed, example } from "./documents.js";

const read = (text: string, files: FilesBeside = beside) =>
  decodeSession(sessionOf(readFlashContainer(text), undefined), files);
const seen = (text: string, files: FilesBeside = beside) => {
  const { findings, image } = read(text, files);
  return [findings.map(({ code }) => code), image.spans.map(({ start, end }) => [start, end])];
};
const [code, data] = [
  [0x8000, 0x8020],
  [0xc000, 0xc010],
];

describe("the image of a session", () => {
  it("is the data of its blocks, from inside the document and beside it", () => {
    const { image, findings, format } = read(example);
    expect(format).toBe("odx-f");
    expect(findings).toEqual([]);
    expect(image.spans.map(({ start, end }) => [start, end])).toEqual([code, data]);
    expect(new TextDecoder().decode(image.read({ start: 0x8000, end: 0x8009 }))).toBe("123456789");
    expect([...(image.read({ start: 0xc000, end: 0xc010 }) ?? [])]).toEqual(Array.from({ length: 16 }, (_, i) => i));
  });

  it("takes S-records, and binary data as digits, inside and beside", () => {
    const digits = "00 01 02 03 04 05 06 07\n08090A0B 0C0D0E0F";
    const inside = changed(
      /xsi:type="EXTERN-FLASHDATA">([\s\S]*?)<DATAFILE[^>]*>[^<]*<\/DATAFILE>/,
      `xsi:type="INTERN-FLASHDATA">$1<DATA>${digits}</DATA>`,
    );
    expect(read(inside, new Map()).image.equals(read(example).image)).toBe(true);
    const asText = new Map([["example-data.bin", new TextEncoder().encode(digits)]]);
    expect(read(example, asText).image.equals(read(example).image)).toBe(true);
    // A file of just as many bytes as the segments have is those bytes, though they may be read as digits.
    const digitsAsBytes = new Map([["example-data.bin", new TextEncoder().encode("0011223344556677")]]);
    expect([...(read(example, digitsAsBytes).image.read({ start: 0xc000, end: 0xc002 }) ?? [])]).toEqual([0x30, 0x30]);
    const records =
      "S1138000313233343536373839FFFFFFFFFFFFFF96\nS1138010FFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFF6C\nS9030000FC\n";
    const motorola = changed(/:108000[\s\S]*FF\n/, records, changed('"INTEL-HEX"', '"MOTOROLA-S"'));
    expect(read(motorola).findings).toEqual([]);
    expect(read(motorola).image.equals(read(example).image)).toBe(true);
  });

  it("is moved by an offset, and cut by filters", () => {
    const plain = changed(/<PHYS-MEM[\s\S]*<\/PHYS-MEM>/, "");
    const at = (element: string) => changed("</SEGMENTS>", `</SEGMENTS>${element}`, plain);
    const up =
      '<TARGET-ADDR-OFFSET xsi:type="POS-OFFSET"><POSITIVE-OFFSET>80000000</POSITIVE-OFFSET></TARGET-ADDR-OFFSET>';
    expect(seen(at(up))).toEqual([[], [data, [0x80008000, 0x80008020]]]);
    const down =
      '<TARGET-ADDR-OFFSET xsi:type="NEG-OFFSET"><NEGATIVE-OFFSET>9000</NEGATIVE-OFFSET></TARGET-ADDR-OFFSET>';
    expect(seen(at(down))).toEqual([["container/address-overflow"], [data]]);
    const filter =
      '<FILTERS><FILTER xsi:type="SIZEDEF-FILTER"><FILTER-START>8004</FILTER-START><FILTER-SIZE>8</FILTER-SIZE></FILTER></FILTERS>';
    expect(seen(changed("<SEGMENTS>", `${filter}<SEGMENTS>`))).toEqual([[], [[0x8004, 0x800c], data]]);
  });

  it("has no part in the working memory", () => {
    const moved =
      '<TARGET-ADDR-OFFSET xsi:type="POS-OFFSET"><POSITIVE-OFFSET>10000000</POSITIVE-OFFSET></TARGET-ADDR-OFFSET>';
    const outside = changed("</SEGMENTS>", `</SEGMENTS>${moved}`);
    expect(seen(outside)).toEqual([["container/data-outside-memory"], [data]]);
    expect(seen(changed('TYPE="CODE"', 'TYPE="FLASH-LOADER"', outside))).toEqual([
      ["container/loader-left-out"],
      [data],
    ]);
    const profile = (text: string) => {
      const container = readFlashContainer(text);
      return containerProfile(container, sessionOf(container, undefined));
    };
    expect(profile(outside)).toMatchObject({ regions: [{ name: "data" }] });
    expect(profile(outside).leftOut).toEqual(
      expect.arrayContaining([
        "block code as a region: it lies outside the memory",
        "checksum code_crc32: its range lies outside the memory; it is not checked",
      ]),
    );
    // Where no memory is described, everything is.
    const undescribed = outside.replace(/<PHYS-MEM[\s\S]*<\/PHYS-MEM>/, "");
    expect(seen(undescribed)).toEqual([[], [data, [0x10008000, 0x10008020]]]);
    const partly = changed("<END-ADDRESS>BFFF", "<END-ADDRESS>8017");
    expect(seen(partly)).toEqual([["container/data-outside-memory"], [[0x8000, 0x8018], data]]);
  });

  it.each([
    ["a file that is not there", ">example-data.bin<", ">other.bin<", "container/data-absent", [code]],
    ["a block without data", '<FLASHDATA-REF ID-REF="FD.hex"/>', "", "container/data-absent", [data]],
    [
      "an encrypted segment",
      'TYPE="A_BYTEFIELD">00</ENC',
      'TYPE="A_BYTEFIELD">01</ENC',
      "container/data-encoded",
      [code],
    ],
    [
      "a compressed segment",
      "<UNCOMPRESSED-SIZE>16</UNCOMPRESSED-SIZE>\n                  <ENC",
      "<COMPRESSED-SIZE>9</COMPRESSED-SIZE><UNCOMPRESSED-SIZE>16</UNCOMPRESSED-SIZE><ENC",
      "container/data-encoded",
      [code],
    ],
    [
      "a format of somebody's own",
      '"BINARY"',
      '"USER-DEFINED" USER-SELECTION="x"',
      "container/data-format-unknown",
      [code],
    ],
    [
      "more data than segments",
      "<SOURCE-START-ADDRESS>C000</SOURCE-START-ADDRESS>\n                  <UNCOMPRESSED-SIZE>16",
      "<SOURCE-START-ADDRESS>C000</SOURCE-START-ADDRESS><UNCOMPRESSED-SIZE>12",
      "container/data-length",
      [code, [0xc000, 0xc00c]],
    ],
    [
      "a segment that is longer",
      "<SOURCE-END-ADDRESS>801F",
      "<SOURCE-END-ADDRESS>8027",
      "container/segment-incomplete",
      [code, data],
    ],
    [
      "a segment that is shorter",
      "<SOURCE-END-ADDRESS>801F",
      "<SOURCE-END-ADDRESS>800F",
      "container/data-outside-segments",
      [[0x8000, 0x8010], data],
    ],
    ["a damaged record", ":10800000313233", ":10800000323233", "intel-hex/checksum-wrong", [[0x8010, 0x8020], data]],
  ])("tells %s, and lacks it", (_name, from, to, told, spans) => {
    // The method inside the segment is the first; the one of the data stands behind it.
    const text = changed(from, to);
    const [codes, there] = seen(text);
    expect(codes).toContain(told);
    expect(there).toEqual(spans);
  });
});
