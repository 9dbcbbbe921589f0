import { describe, expect, it } from "vitest";
import { fromLatin1 } from "../../src/bytes/text.js";
import { decode } from "../../src/formats/decode.js";
import { formatNames } from "../../src/formats/decoded.js";
import { decodeIntelHex } from "../../src/formats/intel-hex.js";
import { decodeSRecord } from "../../src/formats/s-record.js";
import { randomFrom, seed } from "../reference/random.js";
import { hexRecord, sRecord } from "./generated-files.js";

const bytesOf = (text: string) => fromLatin1(text) as Uint8Array;
const codesOf = ({ findings }: ReturnType<typeof decode>) => findings.map(({ code }) => code);
const one = Uint8Array.of(0x5a);

/** What `work` comes to, and the bytes of array buffers that it allocated and kept. */
function costOf<T>(work: () => T): { result: T; kept: number } {
  const before = process.memoryUsage().arrayBuffers;
  const result = work();
  return { result, kept: process.memoryUsage().arrayBuffers - before };
}

describe("a file made to exhaust its reader", () => {
  it("of 56 bytes with two records 4 GiB apart costs nothing", () => {
    const bytes = bytesOf(":0100000000FF\n:02000004FFFFFC\n:01FFFF00FF02\n:00000001FF\n");
    const { result, kept } = costOf(() => decode(bytes));
    expect(bytes).toHaveLength(56);
    expect(result.image.spans).toEqual([
      { start: 0, end: 1 },
      { start: 2 ** 32 - 1, end: 2 ** 32 },
    ]);
    expect(kept).toBeLessThan(2 ** 20);
  });

  it("of a million one-byte records 4 KiB apart keeps what a unit could have, and says so", () => {
    const page = Array.from({ length: 16 }, (_, i) => `${hexRecord(0, 4096 * i, one)}\n`).join("");
    const base = (upper: number) => `${hexRecord(4, 0, Uint8Array.of(upper >> 8, upper & 0xff))}\n`;
    const pages = Array.from({ length: 2 ** 16 }, (_, upper) => base(upper) + page);
    const bytes = bytesOf(`${pages.join("")}:00000001FF\n`);
    const { result, kept } = costOf(() => decodeIntelHex(bytes));
    expect(result.image.segments).toHaveLength(2 ** 17);
    expect(codesOf(result)).toEqual(["file/too-scattered"]);
    expect(result.findings[0]?.facts).toEqual({ kept: 2 ** 17, runs: 2 ** 20 - 2 ** 17, bytes: 2 ** 20 - 2 ** 17 });
    expect(kept).toBeLessThan(64 * 2 ** 20 + 3 * bytes.length);
  });

  it("with its records in reverse comes to its end: what grew with their square would not", () => {
    const count = 500_000;
    const records = Array.from({ length: count }, (_, i) => sRecord(3, 4 * (count - i), Uint8Array.of(1, 2, 3, 4)));
    const { image } = decodeSRecord(bytesOf(records.join("\n")));
    expect(image.spans).toEqual([{ start: 4, end: 4 * count + 4 }]);
  });

  it.each([
    ["letters", "A"],
    ["marks", ":"],
    ["marks and types", "S1"],
    ["long lengths", ":FF"],
    ["blanks and marks", " :"],
    ["zeros", "\0"],
    ["digits", "0"],
    ["other bytes", "\x01\xff"],
  ])("of 10 MB without a line end is given up, not copied: %s", (_name, unit) => {
    const bytes = bytesOf(unit.repeat(10_000_000 / unit.length));
    for (const read of [decodeIntelHex, decodeSRecord]) {
      const { result } = costOf(() => read(bytes));
      expect(result.findings.length).toBeLessThan(110);
      expect(codesOf(result)).toContain("file/empty");
    }
    expect(decode(bytes).format).toBe("raw");
  });

  it("of whole records without any line end is read whole", () => {
    const record = hexRecord(0, 0x100, new Uint8Array(16).fill(7));
    const { result } = costOf(() => decodeIntelHex(bytesOf(`${record.repeat(50_000)}:00000001FF`)));
    expect(codesOf(result)).toEqual(["intel-hex/records-share-line", "file/overlap-equal"]);
    expect(result.image.length).toBe(16);
    const shared = decodeSRecord(bytesOf(sRecord(1, 0, one).repeat(3) + sRecord(9, 0, new Uint8Array(0))));
    expect(codesOf(shared)).toEqual(["s-record/records-share-line", "file/overlap-equal"]);
  });

  it("of a long line says where it is, and the lines after it are read", () => {
    const { findings, image } = decodeIntelHex(
      bytesOf(`:0100100001EE\n${"x".repeat(2000)}\n:0100110002EC\n:00000001FF\n`),
    );
    expect(findings).toEqual([
      { code: "file/line-too-long", facts: { line: 2, length: 2000, limit: 1024 }, where: [{ line: 2, offset: 14 }] },
    ]);
    expect(image.length).toBe(2);
  });

  it("of many conflicts lists a hundred and counts the others", () => {
    const lines = Array.from({ length: 2000 }, (_, i) => hexRecord(0, 2 * (i % 1000), Uint8Array.of(i < 1000 ? 1 : 2)));
    const decoded = decodeIntelHex(bytesOf(`${lines.join("\n")}\n:00000001FF\n`));
    expect(codesOf(decoded).filter((code) => code === "file/overlap-conflict")).toHaveLength(100);
    expect(decoded.findings.at(-1)).toMatchObject({
      code: "file/further-damage",
      facts: { count: 900, lastLine: 2000 },
    });
  });
});

describe("bytes at random", () => {
  it(`are decoded as anything without an error (seed ${seed})`, () => {
    const random = randomFrom(seed);
    const alphabets = [
      "",
      ":0123456789ABCDEF\n",
      "S0123456789ABCDEF\r\n",
      ":S01 \t\0\x1a\r\n",
      "\x1f\x8b\x08PK\x03\x04",
    ];
    for (let round = 0; round < 3000; round++) {
      const alphabet = alphabets[round % alphabets.length] as string;
      const bytes = random.bytes(random.below(300));
      if (alphabet !== "") {
        for (const [i, byte] of bytes.entries()) bytes[i] = alphabet.charCodeAt(byte % alphabet.length);
      }
      for (const format of formatNames) {
        const { image, findings } = decode(bytes, { format, unpack: "never" });
        if (format === "raw") expect(image.length).toBe(bytes.length);
        else if (image.length === 0) expect(findings.length).toBeGreaterThan(0);
      }
    }
  });
});
