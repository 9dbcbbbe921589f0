import { crc32 } from "node:zlib";
import { describe, expect, it } from "vitest";
import { measureVerificationNumbers } from "../../src/identity/verification.js";
import { describeUnit } from "../../src/unit/unit.js";
import { imageOf, profileOf } from "../unit/unit-of.js";
import { outside, smallUnit } from "./small-unit.js";

// Both over the 1 KiB of FF that the region `data` holds: CRC-32 from zlib; the sum of 1024 times FF is 3FC00h.
const erased = new Uint8Array(1024).fill(0xff);
const crc = crc32(erased).toString(16).padStart(8, "0");

const rule = (name: string, more: object = {}) => ({
  name,
  checksum: { algorithm: "CRC-32/ISO-HDLC", over: [{ region: "data" }] },
  ...more,
});
const named = [{ name: "calibrationNumber", holds: "WB40C1040N" }];
const answers = (...calibrations: object[]) => outside({ tester: { calibrations } }).calibrations;
const measured = (unit: ReturnType<typeof smallUnit> | undefined, calibrations: ReturnType<typeof answers>) =>
  measureVerificationNumbers(unit, calibrations, [{ name: "sum", computed: "29b1" }, { name: "absent" }]);

describe("a verification number", () => {
  it("is computed over what the profile says, and put beside the unit's answer", () => {
    const unit = smallUnit([], { verificationNumbers: [rule("first")] });
    expect(measured(unit, answers({ verificationNumber: crc }))).toEqual({
      declared: [{ name: "first", answered: crc, computed: crc }],
      undeclared: [],
    });
    expect(measured(unit, answers({ verificationNumber: "1" })).declared).toEqual([
      { name: "first", answered: "00000001", computed: crc },
    ]);
  });

  it("that is a checksum of the profile is what that checksum must store, padded to 4 bytes", () => {
    const checksums = [
      { name: "sum", algorithm: "CRC-16/XMODEM", over: [{ region: "data" }], stored: { at: "0x400" } },
      { name: "absent", algorithm: "CRC-16/XMODEM", over: [{ region: "data" }], stored: { at: "0x404" } },
    ];
    const first = smallUnit([], { checksums, verificationNumbers: [{ name: "first", checksum: "sum" }] });
    expect(measured(first, answers({ verificationNumber: "29B1" })).declared).toEqual([
      { name: "first", answered: "000029b1", computed: "000029b1" },
    ]);
    const other = smallUnit([], { checksums, verificationNumbers: [{ name: "first", checksum: "absent" }] });
    expect(measured(other, answers({ verificationNumber: "29B1" })).declared).toEqual([
      { name: "first", answered: "000029b1", obstacle: "checksum" },
    ]);
  });

  it("belongs to the answer with the calibration identification of its field", () => {
    const unit = smallUnit(named, { verificationNumbers: [rule("first", { calibration: "calibrationNumber" })] });
    const other = { identification: "OTHER", verificationNumber: "2" };
    const own = { identification: "WB40-C1040N", verificationNumber: crc };
    expect(measured(unit, answers(other, own))).toEqual({
      declared: [{ name: "first", answered: crc, computed: crc }],
      undeclared: ["00000002"],
    });
    expect(measured(unit, answers(other))).toEqual({
      declared: [{ name: "first", obstacle: "not-answered" }],
      undeclared: ["00000002"],
    });
    expect(measured(unit, answers(own, { ...own, verificationNumber: "3" })).declared).toEqual([
      { name: "first", obstacle: "not-assigned" },
    ]);
    expect(measured(unit, answers({ identification: "WB40C1040N" }, other)).declared).toEqual([
      { name: "first", obstacle: "not-answered" },
    ]);
    const unreadable = smallUnit([{ name: "calibrationNumber", at: 8192, holds: "" }], {
      verificationNumbers: [rule("first", { calibration: "calibrationNumber" })],
      memory: {},
      regions: [{ name: "data", role: "calibration", over: [{ start: 0, length: "64K" }] }],
    });
    expect(measured(unreadable, answers(own)).declared).toEqual([{ name: "first", obstacle: "not-assigned" }]);
  });

  it("is told by the order of the answers where they have no identification, and only when none is missing", () => {
    const unit = smallUnit(named, {
      verificationNumbers: [
        rule("first", { calibration: "calibrationNumber" }),
        rule("second", { checksum: { algorithm: "sum32-bytes", over: [{ region: "data" }] } }),
      ],
    });
    const both = answers({ verificationNumber: crc }, { verificationNumber: "3FC00" });
    expect(measured(unit, both)).toEqual({
      declared: [
        { name: "first", answered: crc, computed: crc },
        { name: "second", answered: "0003fc00", computed: "0003fc00" },
      ],
      undeclared: [],
    });
    expect(measured(unit, answers({ verificationNumber: crc }))).toEqual({
      declared: [
        { name: "first", obstacle: "not-assigned" },
        { name: "second", obstacle: "not-assigned" },
      ],
      undeclared: [crc],
    });
  });

  it("is never computed by a rule that nobody gave", () => {
    const told = answers({ identification: "WB40C1040N", verificationNumber: crc }, { identification: "OTHER" });
    for (const unit of [smallUnit(named), undefined]) {
      expect(measured(unit, told)).toEqual({ declared: [], undeclared: [crc] });
    }
  });

  it("is not computed over what is not known", () => {
    const gap = smallUnit([], {
      memory: {},
      regions: [{ name: "data", role: "calibration", over: [{ start: 0, length: "8K" }] }],
      verificationNumbers: [rule("first")],
    });
    expect(measured(gap, answers({ verificationNumber: crc })).declared).toEqual([
      { name: "first", answered: crc, obstacle: "range" },
    ]);
  });

  it("is not computed when the profile asks for more than is in proportion", () => {
    // 64 times over the whole of 1 MiB is let pass once for an image of that size, and not twice.
    const over = Array.from({ length: 64 }, () => ({ start: 0, length: "1M" }));
    const profile = profileOf({
      regions: [{ name: "all", role: "program", over: [{ start: 0, length: "1M" }] }],
      verificationNumbers: ["first", "second"].map((name) =>
        rule(name, { checksum: { algorithm: "sum32-bytes", over } }),
      ),
    });
    const large = describeUnit(imageOf(new Uint8Array(1 << 20).fill(1)), profile);
    const told = answers({ verificationNumber: "04000000" }, { verificationNumber: "04000000" });
    expect(measured(large, told).declared).toEqual([
      { name: "first", answered: "04000000", computed: "04000000" },
      { name: "second", answered: "04000000", obstacle: "effort" },
    ]);
  });
});
