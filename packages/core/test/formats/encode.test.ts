import { describe, expect, it } from "vitest";
import { fromHex } from "../../src/bytes/hex.js";
import { latin1 } from "../../src/bytes/text.js";
import { Refusal } from "../../src/findings/refusal.js";
import { decode } from "../../src/formats/decode.js";
import { type EncodeOptions, encode } from "../../src/formats/encode.js";
import { Image } from "../../src/image/image.js";
import { randomFrom, seed } from "../reference/random.js";

const image = (...parts: readonly (readonly [address: number, digits: string])[]) =>
  Image.of(parts.map(([address, digits]) => ({ address, bytes: fromHex(digits) })));
const text = (of: Image, format: "intel-hex" | "s-record", options: EncodeOptions = {}) =>
  latin1(encode(of, format, options));
const refusal = (work: () => unknown) => {
  try {
    work();
  } catch (error) {
    if (error instanceof Refusal) return [error.code, error.message];
    throw error;
  }
  return undefined;
};

describe("Intel HEX", () => {
  // Wikipedia, "Intel HEX" (from memory); every checksum recomputed in the vectors.
  it("writes the published four-line example", () => {
    const digits =
      "214601360121470136007EFE09D219012146017E17C20001FF5F160021480119194E79234623965778239EDA3F01B2CA3F0156702B5E712B722B732146013421";
    expect(text(image([0x100, digits.toLowerCase()]), "intel-hex", { recordLength: 16 }).split("\n")).toEqual([
      ":10010000214601360121470136007EFE09D2190140",
      ":100110002146017E17C20001FF5F16002148011928",
      ":10012000194E79234623965778239EDA3F01B2CAA7",
      ":100130003F0156702B5E712B722B732146013421C7",
      ":00000001FF",
      "",
    ]);
  });

  it("says a base only where it changes, and crosses no multiple of 64 KiB", () => {
    expect(text(image([0xfffe, "01020304"], [0x30000, "05"]), "intel-hex")).toBe(
      ":02FFFE000102FE\n:020000040001F9\n:020000000304F7\n:020000040003F7\n:0100000005FA\n:00000001FF\n",
    );
  });

  it("writes segment bases when 20 bits are asked for", () => {
    const options = { addressing: "20-bit", lineEnd: "crlf" } as const;
    expect(text(image([0xfffff, "90"]), "intel-hex", options)).toBe(
      ":02000002F0000C\r\n:01FFFF009071\r\n:00000001FF\r\n",
    );
    expect(refusal(() => encode(image([0x100000, "90"]), "intel-hex", options))).toEqual([
      "encode/address-too-high",
      "20-bit addressing: expected data up to 0x000FFFFF, got some at 0x00100000",
    ]);
    expect(refusal(() => encode(image([0x10000, "90"]), "intel-hex", { addressing: "16-bit" }))?.[0]).toBe(
      "encode/address-too-high",
    );
  });

  it("keeps a start address in its own kind", () => {
    const segmented = { kind: "segmented", address: 0x179b8, segment: 0x1234, offset: 0x5678 } as const;
    const linear = { kind: "linear", address: 0x08000101 } as const;
    expect(text(image([0, "90"]), "intel-hex", { start: segmented })).toContain(":0400000312345678E5");
    expect(text(image([0, "90"]), "intel-hex", { start: linear })).toContain(":0400000508000101ED");
    for (const start of [segmented, linear])
      expect(decode(encode(image([0, "90"]), "intel-hex", { start })).start).toEqual(start);
    const low = { kind: "termination", address: 0x12345 } as const;
    expect(decode(encode(image([0, "90"]), "intel-hex", { start: low, addressing: "20-bit" })).start).toEqual({
      kind: "segmented",
      address: 0x12345,
      segment: 0x1000,
      offset: 0x2345,
    });
    expect(refusal(() => encode(image([0, "90"]), "intel-hex", { start: linear, addressing: "20-bit" }))?.[0]).toBe(
      "encode/address-too-high",
    );
  });
});

describe("S-records", () => {
  // 68EVB912B32 User's Manual, Appendix A, with the count record that srec_motorola(5) has.
  it("writes the published example module", () => {
    const digits =
      "285F245F2212226A000424290008237C0002000800082629001853812341001841E900084E42234300182342000824A900144ED4";
    expect(text(image([0, digits.toLowerCase()]), "s-record", { recordLength: 16, header: "HDR" }).split("\n")).toEqual(
      [
        "S00600004844521B",
        "S1130000285F245F2212226A000424290008237C2A",
        "S11300100002000800082629001853812341001813",
        "S113002041E900084E42234300182342000824A952",
        "S107003000144ED492",
        "S5030004F8",
        "S9030000FC",
        "",
      ],
    );
  });

  it("takes the narrowest record that reaches the last byte and the start", () => {
    const widthOf = (of: Image, options: EncodeOptions = {}) => text(of, "s-record", options).slice(0, 2);
    expect(widthOf(image([0xffff, "01"]))).toBe("S1");
    expect(widthOf(image([0x10000, "01"]))).toBe("S2");
    expect(widthOf(image([0xffffffff, "01"]))).toBe("S3");
    expect(widthOf(image([0, "01"]), { start: { kind: "linear", address: 0x123456 } })).toBe("S2");
    expect(widthOf(image([0, "01"]), { recordType: "S3" })).toBe("S3");
    expect(refusal(() => encode(image([0x10000, "01"]), "s-record", { recordType: "S1" }))).toEqual([
      "encode/address-too-high",
      "S1 records: expected addresses up to 0x0000FFFF, got 0x00010000",
    ]);
  });

  it("fits no more into a record than its count can say", () => {
    const of = Image.of([{ address: 2 ** 31, bytes: new Uint8Array(600) }]);
    const lines = text(of, "s-record", { recordLength: 255 }).split("\n");
    expect(lines.slice(0, 3).map((line) => line.slice(0, 4))).toEqual([
      "S3FF",
      "S3FF",
      `S3${(105).toString(16)}`.toUpperCase(),
    ]);
  });

  it("counts in 24 bits what 16 do not hold", () => {
    const of = Image.of([{ address: 0, bytes: new Uint8Array(65_536) }]);
    expect(text(of, "s-record", { recordLength: 1 })).toContain("\nS604010000FA\nS9030000FC\n");
    expect(decode(encode(of, "s-record", { recordLength: 1 })).findings).toEqual([]);
  });

  it("refuses a header that a record cannot hold", () => {
    expect(refusal(() => encode(image(), "s-record", { header: "x".repeat(253) }))).toEqual([
      "encode/header-invalid",
      "header: expected at most 252 characters, got 253",
    ]);
    expect(refusal(() => encode(image(), "s-record", { header: "Boot \u2693" }))?.[0]).toBe("encode/header-invalid");
    expect(decode(encode(image([0, "01"]), "s-record", { header: "port \xe9" })).header).toBe("port \xe9");
  });
});

describe("a raw file", () => {
  const holed = image([0x10, "0102"], [0x14, "03"]);

  it("is refused when nobody says what holes are filled with", () => {
    expect(refusal(() => encode(holed, "raw"))).toEqual([
      "encode/holes",
      "raw file: expected an image without holes, or a byte to fill them with, got a hole of 2 bytes from 0x00000012",
    ]);
    expect([...encode(holed, "raw", { fill: 0xff })]).toEqual([1, 2, 0xff, 0xff, 3]);
    expect([...encode(image([7, "0102"]), "raw")]).toEqual([1, 2]);
    expect(encode(Image.empty, "raw")).toHaveLength(0);
  });

  it("covers the span that is asked for", () => {
    expect([...encode(holed, "raw", { fill: 0, span: { start: 0xf, end: 0x16 } })]).toEqual([0, 1, 2, 0, 0, 3, 0]);
    expect(refusal(() => encode(holed, "raw", { fill: 0, span: { start: 0, end: 0x14 } }))?.[0]).toBe("encode/outside");
    expect(refusal(() => encode(image([0, "01"]), "raw", { span: { start: 0, end: 2 } }))?.[0]).toBe("encode/holes");
  });

  it("is refused when it would be out of proportion", () => {
    const spread = image([0, "01"], [2 ** 32 - 1, "02"]);
    expect(refusal(() => encode(spread, "raw", { fill: 0 }))).toEqual([
      "encode/too-large",
      "raw file: expected at most 268435456 bytes, got 4294967296",
    ]);
    expect(refusal(() => encode(holed, "raw", { fill: 0, limit: 4 }))?.[0]).toBe("encode/too-large");
    expect(refusal(() => encode(holed, "raw", { fill: 256 }))?.[0]).toBe("encode/fill-invalid");
  });
});

describe("every image", () => {
  it.each([0, 256, 1.5])("is refused with records of %d bytes", (recordLength) => {
    expect(refusal(() => encode(image(), "intel-hex", { recordLength }))?.[0]).toBe("encode/record-length");
  });

  it("may be empty", () => {
    expect(text(Image.empty, "intel-hex")).toBe(":00000001FF\n");
    expect(text(Image.empty, "s-record")).toBe("S5030000FC\nS9030000FC\n");
  });

  it(`comes back as it was, with nothing to remark (seed ${seed})`, () => {
    const random = randomFrom(seed);
    for (let round = 0; round < 300; round++) {
      const limit = [2 ** 16, 2 ** 20, 2 ** 24, 2 ** 32][round % 4] as number;
      let end = limit;
      const parts = Array.from({ length: random.below(8) + 1 }, () => {
        const bytes = random.bytes(random.below(400) + 1);
        const address = end - bytes.length;
        end = address - 1 - random.below(Math.floor(limit / 20));
        return { address, bytes };
      });
      const of = Image.of(parts);
      const recordLength = random.below(255) + 1;
      const lineEnd = (["lf", "crlf", "cr"] as const)[random.below(3)] as "lf";
      const addressing = limit > 2 ** 20 ? "auto" : (["auto", "20-bit", "32-bit"] as const)[random.below(3)];
      for (const format of ["intel-hex", "s-record"] as const) {
        const decoded = decode(encode(of, format, { recordLength, lineEnd, addressing: addressing as "auto" }));
        expect(decoded.format).toBe(format);
        expect(decoded.findings).toEqual([]);
        expect(decoded.image.equals(of)).toBe(true);
      }
    }
  });
});
