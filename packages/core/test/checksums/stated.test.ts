import { crc32 } from "node:zlib";
import { describe, expect, it } from "vitest";
import { measureChecksums } from "../../src/checksums/measure.js";
import { vouchedNumbers } from "../../src/checksums/stated.js";
import { catalogue } from "../../src/findings/catalogue.js";
import { checksumRules } from "../../src/rules/checksum.js";
import { describeUnit } from "../../src/unit/unit.js";
import { imageOf, profileWith } from "./measured.js";

const digits = [...new TextEncoder().encode("123456789")];
// Published check values for 123456789: catalogue of parametrised CRC algorithms; the sum of 00 to 0F is 120.
const crc = { name: "code", algorithm: "CRC-32/ISO-HDLC", over: [{ start: 0, length: 9 }], value: "CBF43926" };
const sum = { name: "data", algorithm: "sum16-bytes", over: [{ start: 16, length: 16 }], value: "0078" };
const image = imageOf([...digits, ...Array(7).fill(0xff), ...Array.from({ length: 16 }, (_, i) => i)]);
const factsOf = (stated: readonly object[], read = image) =>
  measureChecksums(describeUnit(read, profileWith([], { statedChecksums: stated })));

describe("a value that is stated outside of the image", () => {
  it("holds or fails, and is stored nowhere", () => {
    expect(factsOf([crc, sum])).toMatchObject([
      { name: "code", status: "holds", stored: "cbf43926", computed: "cbf43926", covered: [{ start: 0, end: 9 }] },
      { name: "data", status: "holds", stored: "0078" },
    ]);
    const [failing] = factsOf([{ ...crc, value: "CBF43927" }]);
    expect(failing).toMatchObject({ status: "fails", stated: true, computed: "cbf43926" });
    expect(failing).not.toHaveProperty("storedAt");
  });

  it("is not computed over what is not known, unless it says what is there", () => {
    const longer = { ...crc, over: [{ start: 30, length: 4 }] };
    expect(factsOf([longer])[0]).toMatchObject({
      status: "absent",
      absence: { kind: "gaps" },
      covered: [{ start: 30, end: 34 }],
    });
    expect(factsOf([{ ...sum, over: [{ start: 30, length: 4 }], gaps: { fill: 1 }, value: "1F" }])[0]).toMatchObject({
      status: "holds", // 0E + 0F + 01 + 01
    });
    expect(factsOf([{ ...sum, over: [{ start: 4096, length: 4 }], gaps: { fill: 1 } }])[0]?.absence).toEqual({
      kind: "nothing-covered",
    });
  });

  it("vouches for the numbers of what it covers, when it can tell software apart", () => {
    const region = { name: "all", role: "program", over: [{ start: 0, length: 32 }] };
    const statedNumbers = [{ means: "software-number", number: "SW-1", region: "all" }];
    const whole = { name: "whole", over: [{ start: 0, length: 32 }] };
    const vouched = (stated: readonly object[]) => {
      const unit = describeUnit(image, profileWith([], { regions: [region], statedChecksums: stated, statedNumbers }));
      return vouchedNumbers(unit, measureChecksums(unit)).map(({ number }) => number);
    };
    // Over 123456789, seven FF and 00 to 0F: zlib's crc32, and the sum of the bytes 477 + 7 * 255 + 120 = 0x94E.
    const check = crc32(
      new Uint8Array([...digits, ...Array(7).fill(0xff), ...Array.from({ length: 16 }, (_, i) => i)]),
    );
    const good = { ...whole, algorithm: "CRC-32/ISO-HDLC", value: check.toString(16).padStart(8, "0") };
    expect(vouched([good])).toEqual(["SW-1"]);
    expect(vouched([{ ...whole, algorithm: "sum8", value: "4e" }])).toEqual([]);
    expect(vouched([{ ...whole, algorithm: "sum16-bytes", value: "094e" }])).toEqual(["SW-1"]);
    expect(vouched([crc, sum])).toEqual([]); // not all of it
    expect(vouched([good, { ...sum, value: "0079" }])).toEqual([]);
    expect(vouched([])).toEqual([]);
  });

  it("is told as stated and not as stored when it does not hold", () => {
    const checksums = factsOf([{ ...crc, value: "CBF43927" }]);
    const coverage = { checksummed: 0, described: 0, covered: [], uncovered: [] };
    const judgement = checksumRules[0]?.judge({ declared: 1, checksums, coverage, regions: [] });
    if (judgement?.outcome !== "fail") throw new Error("expected a failure");
    const [mismatch] = judgement.findings;
    expect(mismatch.where).toEqual([{ span: { start: 0, end: 9 } }]);
    const { says, expected, found } = catalogue["checksum/mismatch"];
    expect(says(mismatch.facts as never)).toContain("is stated as cbf43927; the image gives cbf43926");
    expect([expected?.(mismatch.facts as never), found?.(mismatch.facts as never)]).toEqual(["cbf43927", "cbf43926"]);
  });

  it.each([
    [{ ...crc, value: "01CBF43926" }, /statedChecksums\[0\].value: expected a value of 32 bits/],
    [{ ...crc, algorithm: "CRC-33" }, /statedChecksums\[0\].algorithm: expected/],
    [{ ...crc, over: [{ region: "nowhere" }] }, /statedChecksums\[0\].over\[0\].region: expected the name of a region/],
  ])("is refused in a profile that does not hold together: %#", (stated, message) => {
    expect(() => profileWith([], { statedChecksums: [stated] })).toThrow(message);
  });

  it("has a name of its own among all checksums", () => {
    const stored = { name: "code", algorithm: "sum8", over: [{ start: 0, length: 4 }], stored: { at: 8 } };
    expect(() => profileWith([stored], { statedChecksums: [crc] })).toThrow(
      /statedChecksums\[0\].name: expected each name once/,
    );
  });
});
