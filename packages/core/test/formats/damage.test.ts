import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fromHex } from "../../src/bytes/hex.js";
import { catalogue } from "../../src/findings/catalogue.js";
import type { Decoded } from "../../src/formats/decoded.js";
import { decodeIntelHex } from "../../src/formats/intel-hex.js";
import { decodeSRecord } from "../../src/formats/s-record.js";

// Every valid file of the vectors, damaged in every place. The files: see test-vectors/standards.
interface FileCase {
  readonly name: string;
  readonly text: string;
  readonly expect: string;
}

const filesOf = (name: string): FileCase[] =>
  JSON.parse(
    readFileSync(new URL(`../../../../test-vectors/standards/${name}-vectors.json`, import.meta.url), "utf8"),
  ).files.filter(({ expect: wanted }: FileCase) => wanted !== "reject");

const bytesOf = (text: string) => new Uint8Array(Buffer.from(text, "utf8"));
const severities = ({ findings }: Decoded) => findings.map(({ code }) => catalogue[code].severity);
const stops = (decoded: Decoded) => severities(decoded).includes("stop");
const doubts = (decoded: Decoded) => severities(decoded).some((severity) => severity !== "note");

describe.each([
  ["intel-hex", decodeIntelHex, /^:[0-9A-Fa-f]{10,}$/, 1],
  ["s-record", decodeSRecord, /^S[0-9A-Fa-f]{9,}$/, 2],
] as const)("%s", (format, decode, record, digitsFrom) => {
  const files = filesOf(format);
  // Digits that follow a whole record are passed over, so a change in them changes nothing.
  const exact = files.filter(({ name }) => name !== "extra-digits");

  /** The places of the digits of whole records before the end of a file, the type of an S-record left out. */
  const digitPlaces = (text: string): number[] => {
    const places: number[] = [];
    let at = 0;
    for (const line of text.split(/(?<=[\r\n])/)) {
      const start = at + line.length - line.trimStart().length;
      if (record.test(line.trim())) for (let i = digitsFrom; i < line.trim().length; i++) places.push(start + i);
      at += line.length;
      if (/^(:00....01|S[789])/.test(line)) break;
    }
    return places;
  };

  it.each(exact.map((file) => [file.name, file] as const))("%s: stops at every changed digit", (_name, { text }) => {
    const missed: string[] = [];
    const known = decode(bytesOf(text));
    for (const at of digitPlaces(text)) {
      for (const digit of "0123456789ABCDEF") {
        if (digit === text[at]?.toUpperCase()) continue;
        const changed = text.slice(0, at) + digit + text.slice(at + 1);
        const decoded = decode(bytesOf(changed));
        if (!stops(decoded)) missed.push(`${at}: ${changed.slice(Math.max(0, at - 20), at + 20)}`);
      }
    }
    expect(missed).toEqual([]);
    expect(stops(known)).toBe(false);
  });

  it.each(files.map((file) => [file.name, file] as const))(
    "%s: doubts the memory, or it is the same, whichever bit is changed",
    (_name, { text }) => {
      const original = bytesOf(text);
      const known = decode(original).image;
      const missed: string[] = [];
      for (let at = 0; at < original.length; at++) {
        // Nothing covers the type of an S-record but a count of records, where there is one.
        if (format === "s-record" && /[Ss]/.test(text[at - 1] ?? "") && /\d/.test(text[at] ?? "")) continue;
        for (let bit = 0; bit < 8; bit++) {
          const changed = original.slice();
          changed[at] = (changed[at] as number) ^ (1 << bit);
          const decoded = decode(changed);
          if (!doubts(decoded) && !decoded.image.equals(known)) missed.push(`byte ${at} bit ${bit}`);
        }
      }
      expect(missed).toEqual([]);
    },
  );

  it.each(files.map((file) => [file.name, file] as const))(
    "%s: says so when it was cut anywhere",
    (_name, { text }) => {
      const original = bytesOf(text);
      const end = bytesOf(text.replaceAll("\0", "").replaceAll("\x1a", "").trimEnd()).length;
      const whole = text.split(/[\r\n]+/).findIndex((line) => /^(:00....01|[Ss][789])/.test(line.trim()));
      const known = decode(original).image;
      const silent: number[] = [];
      // What follows an end record may be cut off: the image is complete there.
      const endOfEnd = text.split(/(?<=[\r\n])/).filter((line) => line.trim() !== "");
      const needed = whole < 0 ? end : bytesOf(endOfEnd.slice(0, whole + 1).join("")).length;
      for (let length = 0; length < Math.min(end, needed - 2); length++) {
        const cut = decode(original.subarray(0, length));
        // After a count of all records nothing of the memory is missing, and it is said that the end record is.
        const complete = cut.findings.length > 0 && cut.image.equals(known);
        if (!doubts(cut) && !complete) silent.push(length);
      }
      expect(silent).toEqual([]);
    },
  );

  it.each(files.map((file) => [file.name, file] as const))(
    "%s: holds no byte of a line that is gone",
    (_name, { text }) => {
      const lines = text.split(/(?<=\n)/);
      for (const [index, line] of lines.entries()) {
        const rest = lines.filter((_, i) => i !== index).join("");
        const decoded = decode(bytesOf(rest));
        const codes = decoded.findings.map(({ code }) => code);
        if (/^(:00....01|[Ss][789])/.test(line.trim())) {
          // A count of all records says what the end record said: that nothing is missing.
          const counted = /^S[56]/m.test(text);
          const told = rest === "" ? "file/empty" : counted ? "s-record/end-left-out" : `${format}/missing-end`;
          expect(codes).toContain(told);
          continue; // what stood after the end record is part of the image then
        }
        if (/^[Ss][123]/.test(line) && /^[Ss]5/m.test(text)) expect(stops(decoded)).toBe(true);
        expect(decoded.image.length).toBeLessThanOrEqual(decode(bytesOf(text)).image.length);
      }
    },
  );
});

describe("where a damaged record is told of", () => {
  it("names line, column, offset and what was expected", () => {
    const { findings } = decodeIntelHex(bytesOf(":0100100001EE\r\n  :0300110001G203E7\r\n:00000001FF\r\n"));
    expect(findings).toEqual([
      {
        code: "intel-hex/digit-wrong",
        facts: { line: 2, record: ":03001100", column: 14, character: 0x47 },
        where: [{ line: 2, offset: 17 }],
      },
    ]);
  });

  it("shows no data of a record", () => {
    // 0A bytes of data, of which none may appear in what is said.
    const secret = "5345435245544B455931";
    for (const text of [
      `:0A001000${secret}00`,
      `:0A001000${secret}`,
      `:0A0010${secret}99`,
      `S10D0010${secret}00`,
      `S10D0010${secret}`,
    ]) {
      const decode = text.startsWith(":") ? decodeIntelHex : decodeSRecord;
      for (const end of ["", "\n"]) {
        const { findings } = decode(bytesOf(text + end));
        expect(findings.length).toBeGreaterThan(0);
        for (const one of findings) expect(JSON.stringify(one.facts)).not.toContain(secret.slice(6));
      }
    }
  });

  it("tells a hundred damaged records one by one and counts the others", () => {
    const { findings } = decodeIntelHex(bytesOf(":0100100001EF\n".repeat(1000)));
    expect(findings.filter(({ code }) => code === "intel-hex/checksum-wrong")).toHaveLength(100);
    expect(findings.find(({ code }) => code === "file/further-damage")?.facts).toEqual({ count: 900, lastLine: 1000 });
  });

  it("tells a thousand deviations of one kind once", () => {
    const { findings } = decodeIntelHex(bytesOf(`${"; remark\n".repeat(1000)}:0100100001EE\n:00000001FF\n`));
    expect(findings.map(({ code, facts }) => [code, facts])).toEqual([
      ["intel-hex/text-outside-records", { count: 1000, lines: [1, 2, 3, 4, 5] }],
    ]);
  });
});

describe("data after a damaged base address", () => {
  const text =
    ":020000040001F9\n:0100100001EE\n:020000040002F9\n:0100100002ED\n:0100110003EB\n:020000040003F7\n:0100100004EB\n:00000001FF\n";

  it("are left out up to the next base, and told of", () => {
    const { image, findings } = decodeIntelHex(bytesOf(text));
    expect(image.spans.map(({ start }) => start)).toEqual([0x10010, 0x30010]);
    expect(findings.find(({ code }) => code === "intel-hex/base-lost")?.facts).toEqual({
      line: 3,
      records: 2,
      bytes: 2,
      lastLine: 5,
    });
  });

  it("are not left out after a damaged record of data", () => {
    const { image } = decodeIntelHex(
      bytesOf(`:10010000214601360121470136007EFE09D2190141\n:0100100001EE\n:00000001FF\n`),
    );
    expect(image.spans).toEqual([{ start: 16, end: 17 }]);
  });
});

describe("text that is told apart from damage", () => {
  it.each([
    ["; built at 12:30", []],
    ["# 20240115123000", []],
    ["10010000214601360121470136007EFE09D2190140", ["intel-hex/mark-missing"]],
    [";10010000214601360121470136007EFE09D2190140", ["intel-hex/mark-missing"]],
    ["\x01\x02\x03", ["intel-hex/bytes-outside-records"]],
    ["text :10010000214601360121470136007EFE09D2190141", ["intel-hex/checksum-wrong"]],
  ])("%j", (line, wanted) => {
    const decoded = decodeIntelHex(bytesOf(`${line}\n:0100100001EE\n:00000001FF\n`));
    const codes = decoded.findings.filter(({ code }) => catalogue[code].severity === "stop").map(({ code }) => code);
    expect(codes).toEqual(wanted);
  });
});

it("finds INHX16, whose lengths count words (srec_intel16(5))", () => {
  const { findings } = decodeIntelHex(bytesOf(":0200000001020304F4\n:00000001FF\n"));
  expect(findings[0]).toMatchObject({
    code: "intel-hex/length-wrong",
    facts: { expected: 14, got: 18, countsWords: true },
  });
  expect(fromHex("0200000001020304F4").reduce((sum, byte) => sum + byte, 0) % 256).toBe(0);
});

// Common practice, no source: files of two programs joined by hand, or by a copy command. The records are from memory.
describe("records of another format", () => {
  const hex = [":10010000214601360121470136007EFE09D2190140", ":00000001FF"] as const;
  const s = ["S1137AF00A0A0D0000000000000000000000000061", "S9030000FC"] as const;
  const codes = (decoded: Decoded) => decoded.findings.map(({ code }) => code);

  it.each([
    ["before the end of Intel HEX", decodeIntelHex, [s[0], ...hex], "intel-hex/records-of-other-format", 16],
    ["behind it", decodeIntelHex, [...hex, ...s], "intel-hex/records-of-other-format", 16],
    ["before the end of S-records", decodeSRecord, [s[0], hex[0], s[1]], "s-record/records-of-other-format", 16],
    ["behind it", decodeSRecord, [...s, ...hex], "s-record/records-of-other-format", 16],
    [
      "of a third",
      decodeIntelHex,
      [hex[0], "%1A626810000000202020202020", hex[1]],
      "intel-hex/records-of-other-format",
      16,
    ],
  ] as const)("%s leave the image in doubt", (_where, decode, lines, code, length) => {
    const decoded = decode(bytesOf(`${lines.join("\n")}\n`));
    expect(codes(decoded)).toContain(code);
    expect(decoded.image.length).toBe(length);
    expect(doubts(decoded)).toBe(true);
  });

  it("are none when their checksum is wrong, or nothing but an end", () => {
    for (const line of [`${s[0].slice(0, -1)}2`, s[1], "S1 is a section"]) {
      expect(codes(decodeIntelHex(bytesOf(`${hex[0]}\n${line}\n${hex[1]}\n`)))).toEqual([
        "intel-hex/text-outside-records",
      ]);
    }
  });
});
