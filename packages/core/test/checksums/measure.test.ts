import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { algorithmOf } from "../../src/algorithms/algorithm.js";
import { toHex } from "../../src/bytes/hex.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import { placeChecksums } from "../../src/checksums/placed.js";
import { absenceText } from "../../src/checksums/words.js";
import { Image } from "../../src/image/image.js";
import { describeUnit } from "../../src/unit/unit.js";
import { content, imageOf, measureOne, profileWith } from "./measured.js";

const digits = [...new TextEncoder().encode("123456789")];
/** Published check values of these algorithms for the text 123456789: the catalogue of parametrised CRC algorithms; RFC 1950. */
const crc32 = { algorithm: "CRC-32/ISO-HDLC", hex: "cbf43926" };
const bytesOf = (hex: string) => [...hex.matchAll(/../g)].map(([pair]) => Number.parseInt(pair, 16));
const over = [{ start: 0, length: 9 }];

describe("a stored value", () => {
  const complement = "340bc6d9";
  const negated = "340bc6da";
  it.each<[object, string, string]>([
    [{}, crc32.hex, crc32.hex],
    [{ order: "little" }, "2639f4cb", crc32.hex],
    [{ bytes: 6 }, `0000${crc32.hex}`, `0000${crc32.hex}`],
    [{ bytes: 6, order: "little" }, "2639f4cb0000", `0000${crc32.hex}`],
    [{ form: "complement" }, complement, complement],
    [{ form: "complement", bytes: 5 }, `ff${complement}`, `ff${complement}`],
    [{ form: "negated" }, negated, negated],
    [{ form: "negated", order: "little", bytes: 5 }, "dac60b34ff", `ff${negated}`],
    [{ form: "value-and-complement" }, crc32.hex + complement, crc32.hex + complement],
    [{ form: "value-and-complement", order: "little" }, "2639f4cbd9c60b34", crc32.hex + complement],
  ])("%j holds as %s", (stored, hex, shown) => {
    const rule = { algorithm: crc32.algorithm, over, stored: { at: 9, ...stored } };
    const image = [...digits, ...bytesOf(hex)];
    expect(measureOne(rule, imageOf(image))).toEqual({
      name: "check-a",
      rule: "check-a",
      algorithm: crc32.algorithm,
      kind: "crc",
      width: 32,
      ordered: true,
      status: "holds",
      stored: shown,
      computed: shown,
      covered: [{ start: 0, end: 9 }],
      storedAt: { start: 9, end: 9 + hex.length / 2 },
    });
    for (let at = 0; at < image.length; at++) {
      const changed = image.map((byte, i) => (i === at ? byte ^ 0x10 : byte));
      expect(measureOne(rule, imageOf(changed)).status, `byte ${at}`).toBe("fails");
    }
  });

  it.each([
    ["CRC-16/XMODEM", "31c3"],
    ["CRC-64/XZ", "995dc9bbdf1939fa"],
    ["CRC-5/USB", "19"],
    ["adler32", "091e01de"],
    ["sum8", "dd"],
    ["sum16-bytes", "01dd"],
    ["SHA-1", createHash("sha1").update("123456789").digest("hex")],
    ["SHA-256", createHash("sha256").update("123456789").digest("hex")],
  ])("of %s is %s", (algorithm, hex) => {
    const facts = measureOne({ algorithm, over, stored: { at: 9 } }, imageOf([...digits, ...bytesOf(hex)]));
    expect(facts).toMatchObject({ status: "holds", stored: hex, computed: hex, algorithm });
  });

  it("of a CRC by its parameters is that of the CRC, under its name where it has one", () => {
    const parameters = { width: 16, poly: "0x1021", init: "0x0", refin: false, refout: false, xorout: "0x0" };
    const image = imageOf([...digits, 0x31, 0xc3]);
    const rule = { over, stored: { at: 9 } };
    expect(measureOne({ ...rule, algorithm: parameters }, image)).toMatchObject({
      status: "holds",
      algorithm: "CRC-16/XMODEM",
    });
    expect(measureOne({ ...rule, algorithm: { ...parameters, init: "0x1" } }, image)).toMatchObject({
      status: "fails",
    });
  });
});

describe("what is covered", () => {
  const image = imageOf([...digits, ...bytesOf("cbf43926")], 100);
  const at = { algorithm: crc32.algorithm, stored: { at: 109 } };

  it("may be several ranges, in the order in which they are named", () => {
    const ranges = [
      { start: 104, length: 5 },
      { start: 100, end: 104 },
    ];
    const facts = measureOne(
      { ...at, over: ranges },
      imageOf([...digits.slice(5), ...digits.slice(0, 5), ...bytesOf("cbf43926")], 100),
    );
    expect(facts).toMatchObject({
      status: "holds",
      covered: [
        { start: 104, end: 109 },
        { start: 100, end: 104 },
      ],
    });
    expect(measureOne({ ...at, over: [...ranges].reverse() }, image).status).toBe("holds");
  });

  it("may have gaps left out or filled, and is not computed over them otherwise", () => {
    const holed = Image.of([
      { address: 0, bytes: Uint8Array.from(digits.slice(0, 4)) },
      { address: 9, bytes: Uint8Array.from(digits.slice(4)) },
      { address: 32, bytes: Uint8Array.from(bytesOf("cbf43926")) },
    ]);
    const rule = { algorithm: crc32.algorithm, over: [{ start: 0, end: 14 }], stored: { at: 32 } };
    const covered = [
      { start: 0, end: 4 },
      { start: 9, end: 14 },
    ];
    expect(measureOne({ ...rule, gaps: "leave-out" }, holed)).toMatchObject({ status: "holds", covered });
    const filled = imageOf([...digits.slice(0, 4), 0x55, 0x55, 0x55, 0x55, 0x55, ...digits.slice(4)]);
    expect(measureOne({ ...rule, gaps: { fill: "0x55" } }, holed)).toMatchObject({ computed: crcOf(filled), covered });
    expect(measureOne(rule, holed)).toMatchObject({
      status: "absent",
      stored: "cbf43926",
      absence: { kind: "gaps", spans: [{ start: 4, end: 9 }] },
    });
  });

  it("may be a region of several spans and a field", () => {
    const regions = [
      {
        name: "all",
        role: "program",
        over: [
          { start: 104, length: 5 },
          { start: 100, length: 4 },
        ],
      },
      { name: "sum", role: "spare", over: [{ start: 109, length: 4 }] },
    ];
    expect(measureOne({ ...at, over: [{ region: "all" }] }, image, { regions }).status).toBe("holds");
    const fields = [{ name: "nine", type: "text", at: 100, length: 9 }];
    expect(measureOne({ ...at, over: [{ field: "nine" }] }, image, { regions, fields }).status).toBe("holds");
  });

  it("may contain the stored value, left out or taken as a byte", () => {
    const split = [...digits.slice(0, 4), ...bytesOf("cbf43926"), ...digits.slice(4)];
    const rule = { algorithm: crc32.algorithm, over: [{ start: 0, end: 13 }], stored: { at: 4 } };
    expect(measureOne({ ...rule, inside: "leave-out" }, imageOf(split))).toMatchObject({
      status: "holds",
      covered: [
        { start: 0, end: 4 },
        { start: 8, end: 13 },
      ],
    });
    const filled = imageOf([...digits.slice(0, 4), 0xff, 0xff, 0xff, 0xff, ...digits.slice(4)]);
    expect(measureOne({ ...rule, inside: { fill: "0xFF" } }, imageOf(split))).toMatchObject({
      status: "fails",
      computed: crcOf(filled),
    });
  });

  it("is fed in words last byte first where the profile says so", () => {
    const words = [0x34, 0x33, 0x32, 0x31, 0x38, 0x37, 0x36, 0x35];
    const straight = crcOf(imageOf(digits.slice(0, 8)));
    const image4 = imageOf([...words, ...bytesOf(straight)]);
    const rule = { algorithm: crc32.algorithm, over: [{ start: 0, length: 8 }], stored: { at: 8 } };
    expect(measureOne({ ...rule, reversedWords: 4 }, image4).status).toBe("holds");
    expect(measureOne(rule, image4).status).toBe("fails");
    const cut = [
      { start: 0, length: 3 },
      { start: 3, length: 5 },
    ];
    expect(measureOne({ ...rule, over: cut, reversedWords: 4 }, image4).status).toBe("holds");
    expect(measureOne({ ...rule, over: [{ start: 0, length: 7 }], reversedWords: 2 }, image4)).toMatchObject({
      status: "absent",
      absence: { kind: "length", length: 7, multipleOf: 2 },
    });
  });
});

/** By the algorithm alone, over the whole image. */
function crcOf(image: Image, algorithm = crc32.algorithm): string {
  const running = algorithmOf(algorithm).start();
  for (const { bytes } of image.segments) running.update(bytes);
  return running.value().toString(16).padStart(8, "0");
}

describe("a whole that comes to a constant", () => {
  const rule = (algorithm: string, at: number, length: number, more: object = {}) => ({
    algorithm,
    over: [{ start: 0, length }],
    stored: { at, form: "whole-comes-to-constant", ...more },
  });

  it("holds, and shows what would hold where it does not", () => {
    const image = [0x10, 0x20, 0x30, 0xa0];
    expect(measureOne(rule("sum8", 3, 4), imageOf(image))).toMatchObject({
      status: "holds",
      stored: "a0",
      computed: "a0",
      whole: { value: "00", constant: "00" },
      covered: [{ start: 0, end: 4 }],
    });
    expect(measureOne(rule("sum8", 3, 4, { constant: "0xE7" }), imageOf(image))).toMatchObject({
      status: "fails",
      stored: "a0",
      computed: "87",
      whole: { value: "00", constant: "e7" },
    });
  });

  // Everything that is linear in the stored bits can be solved; what comes out is tried on the whole image here.
  it.each([
    ["sum8", 1, "0x5A"],
    ["sum16-be", 2, "0x1234"],
    ["sum16-le", 2, "0xFFFF"],
    ["sum32-le", 4, "0x0"],
    ["sum32-be", 4, "0x5AA55AA5"],
    ["sum64-le", 8, "0x1"],
    ["sum16-carry-be", 2, "0xFFFF"],
    ["internet", 2, "0x0"],
    ["xor8", 1, "0xFF"],
    ["xor16-le", 2, "0x1234"],
    ["xor32-be", 4, "0x0"],
    ["CRC-8/SMBUS", 1, "0x0"],
    ["CRC-16/MODBUS", 2, "0x0"],
    ["CRC-16/ARC", 2, "0xBEEF"],
    ["CRC-32/ISO-HDLC", 4, "0xFFFFFFFF"],
    ["CRC-32/MPEG-2", 4, "0x0"],
    ["CRC-64/XZ", 8, "0x0123456789ABCDEF"],
    ["CRC-7/MMC", 1, "0x2A"],
    ["CRC-3/GSM", 1, "0x5"],
  ])("is solved for %s with %d stored bytes and %s", (algorithm, bytes, constant) => {
    for (const at of [0, 24, 48]) {
      const image = content(64, at + bytes);
      const wrong = measureOne(rule(algorithm, at, 64, { bytes, constant }), imageOf(image));
      expect(wrong.status).toBe("fails");
      expect(wrong.computed).toMatch(new RegExp(`^[0-9a-f]{${2 * bytes}}$`));
      image.set(bytesOf(wrong.computed ?? ""), at);
      expect(measureOne(rule(algorithm, at, 64, { bytes, constant }), imageOf(image))).toMatchObject({
        status: "holds",
      });
    }
  });

  it("is solved with words last byte first, where the stored value does not lie on a word", () => {
    const image = content(64, 5);
    const reversed = { ...rule("CRC-32/ISO-HDLC", 13, 64), reversedWords: 4 };
    image.set(bytesOf(measureOne(reversed, imageOf(image)).computed ?? ""), 13);
    expect(measureOne(reversed, imageOf(image)).status).toBe("holds");
  });

  it.each([
    ["SHA-1", 20],
    ["adler32", 4],
    ["bsd-sum", 2],
  ])("is left unsolved for %s", (algorithm, bytes) => {
    const facts = measureOne(rule(algorithm, 8, 64, { bytes, constant: "0x1" }), imageOf(content(64, 9)));
    expect(facts.status).toBe("fails");
    expect(facts.computed).toBeUndefined();
    expect(facts.whole?.constant).toMatch(/^0+1$/);
  });
});

describe("repeats", () => {
  const sums = { algorithm: "sum8", over: [{ start: 1, length: 4 }], stored: { at: 5 } };
  const fields = [{ name: "count", type: "unsigned", at: 0, length: 1 }];
  const blocks = [2, 1, 2, 3, 4, 10, 5, 6, 7, 8, 26, 9, 9, 9, 9, 0];
  const all = (image: readonly number[], repeat: object) =>
    measureChecksums(describeUnit(imageOf(image), profileWith([{ ...sums, repeat }], { fields })));

  it("each have a number and a place of their own", () => {
    expect(all(blocks, { count: 3, every: 5 })).toMatchObject([
      { name: "check-a-1", status: "holds", covered: [{ start: 1, end: 5 }], storedAt: { start: 5, end: 6 } },
      { name: "check-a-2", status: "holds", covered: [{ start: 6, end: 10 }], storedAt: { start: 10, end: 11 } },
      { name: "check-a-3", status: "fails", computed: "24", stored: "00" },
    ]);
  });

  it("are as many as a field says", () => {
    expect(all(blocks, { count: { field: "count" }, every: 5 }).map(({ status }) => status)).toEqual([
      "holds",
      "holds",
    ]);
    expect(all([0, ...blocks.slice(1)], { count: { field: "count" }, every: 5 })).toEqual([]);
  });

  it("are bounded, and have no place outside memory", () => {
    const times = (count: number, every: unknown = 5) => all(blocks, { count, every });
    expect(times(100_000)).toMatchObject([{ name: "check-a", absence: { kind: "count", count: 100_000 } }]);
    expect(all(blocks, { count: { field: "count", times: -1 }, every: 1 })).toMatchObject([
      { absence: { kind: "count" } },
    ]);
    const [, second] = times(2, { field: "count", times: -4 });
    expect(second).toMatchObject({
      status: "absent",
      absence: { kind: "place", obstacle: { kind: "outside-memory" } },
    });
    expect(second?.storedAt).toBeUndefined();
    expect(times(8000).length).toBe(8000);
  });
});

describe("a checksum is absent", () => {
  const rule = { algorithm: "CRC-32/ISO-HDLC", over: [{ start: 0, length: 8 }], stored: { at: 8 } };
  const fields = [
    { name: "size", type: "unsigned", at: 20, length: 1 },
    { name: "kind", type: "unsigned", at: 21, length: 1 },
  ];
  const image = imageOf([...content(20), 0, 7]);
  const absence = (checksum: object, from = image) => measureOne({ ...rule, ...checksum }, from, { fields }).absence;

  it.each<[string, object, RegExp]>([
    ["it covers nothing", { over: [{ start: 0, length: { field: "size" } }] }, /covers no byte/],
    [
      "bytes are not known",
      { over: [{ start: 20, length: 8 }] },
      /6 bytes that it covers are not known, the first at 0x00000016/,
    ],
    ["the stored value is not known", { stored: { at: 40 } }, /stored value at 0x00000028 is not known/],
    ["part of the stored value is not known", { stored: { at: 20 } }, /stored value at 0x00000014 is not known/],
    [
      "a place depends on what is not there",
      { stored: { at: { after: { text: "no such text" } } } },
      /"no such text" that it stands behind is not there/,
    ],
    [
      "the stored value lies inside unannounced",
      { stored: { at: { field: "size", plus: 2 } } },
      /lies in what it covers, and the profile does not say/,
    ],
    [
      "the whole lacks the stored value",
      { stored: { at: { field: "size", plus: 9 }, form: "whole-comes-to-constant" } },
      /does not lie in the whole/,
    ],
    [
      "the whole has half of the stored value",
      { stored: { at: { field: "size", plus: 6 }, form: "whole-comes-to-constant" } },
      /does not lie in the whole/,
    ],
    [
      "its length is no multiple of its words",
      { algorithm: "xcp-add-44-le", over: [{ start: 0, length: 7 }] },
      /covers 7 bytes, expected a multiple of 4/,
    ],
    ["its range leaves memory", { over: [{ start: { field: "kind", times: -1 }, length: 8 }] }, /no place in memory/],
  ])("when %s", (_, checksum, words) => {
    const reason = absence(checksum);
    expect(reason && absenceText(reason)).toMatch(words);
  });

  it("when the field that decides about it cannot be read", () => {
    const when = { field: "kind", is: 7 };
    expect(measureOne({ ...rule, when }, image, { fields })).toMatchObject({ status: "fails" });
    expect(absence({ when }, imageOf(content(20)))).toEqual({
      kind: "place",
      obstacle: { kind: "field-unreadable", field: "kind" },
    });
  });

  it("and not even mentioned when it does not apply", () => {
    const profile = profileWith([{ ...rule, when: { field: "kind", is: 8 } }], { fields });
    expect(measureChecksums(describeUnit(image, profile))).toEqual([]);
  });
});

describe("blank memory", () => {
  const of = (byte: number, length = 64) => new Uint8Array(length).fill(byte);

  // CRC-32 of four bytes FF is FFFFFFFF, and any sum of 00 is 00: such a match says nothing.
  it.each<[string, number, object]>([
    ["CRC-32/ISO-HDLC", 0xff, { over: [{ start: 0, length: 4 }], stored: { at: 4 } }],
    ["CRC-16/XMODEM", 0x00, { over: [{ start: 0, length: 32 }], stored: { at: 32 } }],
    ["sum8", 0x00, { over: [{ start: 0, length: 64 }], stored: { at: 63, form: "whole-comes-to-constant" } }],
    ["sum32-le", 0xff, { over: [{ start: 0, length: 4 }], stored: { at: 4 } }],
    ["xor8", 0xff, { over: [{ start: 0, length: 3 }], stored: { at: 3 } }],
    ["CRC-32/ISO-HDLC", 0xff, { over: [{ start: 0, length: 32 }], stored: { at: 32, form: "value-and-complement" } }],
  ])("is never accepted by %s over %d", (algorithm, byte, rule) => {
    expect(measureOne({ algorithm, ...rule }, imageOf(of(byte)))).toMatchObject({
      status: "absent",
      absence: { kind: "blank", byte },
    });
  });

  it("is what erased memory reads as, too", () => {
    const rule = { algorithm: "xor8", over: [{ start: 0, length: 3 }], stored: { at: 3 } };
    const memory = { erased: "0xEE" };
    expect(measureOne(rule, imageOf(of(0xee)), { memory })).toMatchObject({ absence: { kind: "blank", byte: 0xee } });
    expect(measureOne(rule, imageOf(of(0xee)))).toMatchObject({ status: "holds" });
  });

  it("is nothing that holds a single other byte, nor a value over blank content", () => {
    const rule = { algorithm: "CRC-32/ISO-HDLC", over: [{ start: 0, length: 4 }], stored: { at: 4 } };
    expect(measureOne(rule, imageOf([0xff, 0xff, 0xff, 0xfe, 0xff, 0xff, 0xff, 0xff])).status).toBe("fails");
    const value = bytesOf(crcOf(imageOf(of(0xff, 32))));
    const right = { ...rule, over: [{ start: 0, length: 32 }], stored: { at: 32 } };
    expect(measureOne(right, imageOf([...of(0xff, 32), ...value])).status).toBe("holds");
  });

  it("is not made of holes that are filled for the sum", () => {
    const rule = { algorithm: "sum8", over: [{ start: 0, length: 8 }], gaps: { fill: 0 }, stored: { at: 8 } };
    expect(measureOne(rule, imageOf([0], 8))).toMatchObject({ status: "absent", absence: { kind: "blank", byte: 0 } });
  });
});

describe("bytes that go into a checksum twice", () => {
  // XOR of anything with itself is 0: such a checksum would hold whatever stands there.
  const twice = [
    { start: 0, length: 16 },
    { start: { field: "from" }, length: 16 },
  ];
  const fields = [{ name: "from", type: "unsigned", at: 40, length: 1 }];
  const at = (from: number, more: object = {}) => {
    const bytes = content(64);
    bytes[40] = from;
    bytes[50] = 0;
    return measureOne({ algorithm: "xor8", over: twice, stored: { at: 50 }, ...more }, imageOf(bytes), { fields });
  };

  it("keep it from saying anything, where the places are computed", () => {
    expect(at(0)).toMatchObject({
      status: "absent",
      absence: { kind: "covered-twice", span: { start: 0, end: 16 } },
      covered: [],
    });
    expect(at(15)).toMatchObject({ absence: { kind: "covered-twice", span: { start: 15, end: 16 } } });
    expect(at(16).status).toBe("fails");
    expect(at(0, { repeat: { count: 2, every: 1 } })).toMatchObject({ status: "absent" });
  });

  it("are refused where a profile writes the places down", () => {
    const over = [
      { start: 8, length: 16 },
      { start: 0, length: 9 },
    ];
    const refused = /checksums\[0\]\.over: expected places that do not overlap, got 0x00000008\.\.0x00000009 twice/;
    expect(() => profileWith([{ algorithm: "xor8", over, stored: { at: 50 } }])).toThrow(refused);
    const stated = [{ name: "stated", algorithm: "sum8", over, value: "00" }];
    expect(() => profileWith([], { statedChecksums: stated })).toThrow(/statedChecksums\[0\]\.over/);
  });

  it("do no harm to a hash, which tells every change", () => {
    const over = [
      { start: 0, length: 16 },
      { start: 0, length: 16 },
    ];
    expect(measureOne({ algorithm: "SHA-1", over, stored: { at: 20 } }, imageOf(content(64))).status).toBe("fails");
  });
});

describe("the cost of checksums", () => {
  it("is that of going through the bytes: sixty over 4 MiB", () => {
    const bytes = content(4 * 1024 * 1024);
    const checksums = Array.from({ length: 60 }, (_, i) => ({
      name: `sum-of-${i}`,
      algorithm: ["CRC-32/ISO-HDLC", "sum32-le", "CRC-16/ARC"][i % 3],
      over: [{ start: 64 * i, end: "0x3FFF00" }],
      stored: { at: "0x3FFF00" },
    }));
    const regions = [{ name: "all", role: "program", over: [{ start: 0, length: "4M" }] }];
    const unit = describeUnit(imageOf(bytes), profileWith(checksums, { regions }));
    expect(measureChecksums(unit)).toHaveLength(60);
  });

  it("does not grow with the ranges that a profile asks for", () => {
    const checksum = {
      algorithm: "SHA-256",
      over: [{ start: 0, end: "0xFFFFFFF0" }],
      gaps: { fill: 0 },
      stored: { at: 0 },
    };
    const facts = measureOne({ ...checksum, inside: "leave-out" }, imageOf(content(32)));
    expect(facts).toMatchObject({ status: "absent", absence: { kind: "effort" } });
    const fields = [{ name: "far", type: "unsigned", at: 0, length: 4, order: "big" }];
    const many = Array.from({ length: 500 }, (_, i) => ({
      name: `far-${i}`,
      algorithm: "CRC-32/ISO-HDLC",
      over: [{ start: 0, length: { field: "far", plus: -i } }],
      gaps: "leave-out",
      stored: { at: "0xFFFFFFF0" },
    }));
    const unit = describeUnit(imageOf([0x0f, 0xff, 0xff, 0xff, 1]), profileWith(many, { fields }));
    expect(measureChecksums(unit).filter(({ absence }) => absence?.kind === "effort")).toHaveLength(499);
  });
  it("grows with the pieces between holes, and a profile may not ask for any number of them", () => {
    const bytes = content(64 * 1024);
    const islands = Image.of(
      Array.from({ length: 16 * 1024 }, (_, i) => ({ address: 4 * i, bytes: bytes.subarray(4 * i, 4 * i + 3) })),
    );
    const checksum = { algorithm: "sum16-be", over: [{ start: 0, length: "32K" }], gaps: "leave-out" };
    const repeated = { ...checksum, stored: { at: "40K" }, repeat: { count: 4096, every: 4 } };
    const facts = measureChecksums(describeUnit(islands, profileWith([repeated])));
    expect(facts).toHaveLength(4096);
    expect(facts[0]?.status).toBe("fails");
    expect(facts.at(-1)).toMatchObject({ status: "absent", absence: { kind: "effort" } });
    // What is known of them lies in no more pieces than a few times the bytes of the image.
    expect(facts.reduce((sum, { covered }) => sum + covered.length, 0)).toBeLessThan(32 * bytes.length);
    const placed = placeChecksums(describeUnit(islands, profileWith([repeated])));
    expect(placed.at(-1)).toMatchObject({ name: "check-a-4096", over: [] });
    const stated = Array.from({ length: 512 }, (_, i) => ({ ...checksum, name: `stated-${i}`, value: "0000" }));
    const others = measureChecksums(describeUnit(islands, profileWith([], { statedChecksums: stated })));
    expect(others.at(-1)).toMatchObject({ status: "absent", absence: { kind: "effort" } });
  }, 60_000);
});

describe("accelerators", () => {
  it("are used where they are handed in", () => {
    const seen: string[] = [];
    const unit = describeUnit(imageOf(content(64)), profileWith([{ algorithm: "SHA-256", over, stored: { at: 20 } }]));
    const digest = (name: string) => {
      seen.push(name);
      const hash = createHash(name.replace("-", "").toLowerCase());
      return {
        update: (bytes: Uint8Array) => hash.update(bytes),
        copy: () => hash.copy() as never,
        digest: () => new Uint8Array(hash.digest()),
      };
    };
    const [own] = measureChecksums(unit);
    const [theirs] = measureChecksums(unit, { digest });
    expect(theirs).toEqual(own);
    expect(seen).toEqual(["SHA-256"]);
    expect(own?.computed).toBe(toHex(new Uint8Array(createHash("sha256").update(content(64).subarray(0, 9)).digest())));
  });
});
