import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { checkDigitOf, machineNumberProblem } from "../../src/unit/machine-number.js";
import { readOne } from "./unit-of.js";

interface Numbers {
  readonly vectors: readonly {
    readonly vin: string;
    readonly expectedCheck: string;
    readonly checkDigitMatches: boolean;
  }[];
  readonly malformed: readonly { readonly text: string; readonly why: string }[];
  readonly noCheckDigit: readonly { readonly text: string; readonly why: string }[];
}
const vectors = new URL("../../../../test-vectors/standards/vin-vectors.json", import.meta.url);
const numbers = JSON.parse(readFileSync(vectors, "utf8")) as Numbers;

describe("a field of text", () => {
  const text = { type: "text", length: 6 };
  it.each<[object, string, string]>([
    [text, "AB 1-2rest", "AB 1-2"],
    [text, "AB\x00\x00\x00\x00", "AB\x00\x00\x00\x00 (not-printable)"],
    [{ ...text, padding: "00 20" }, "AB \x00 \x00", "AB"],
    [{ ...text, padding: "00" }, "A\x00B\x00\x00\x00", "A\x00B (not-printable)"],
    [{ ...text, padding: "00" }, "\x00\x00\x00\x00\x00\x00", " (not-printable)"],
    [text, "ABC\x7fDE", "ABC\x7fDE (not-printable)"],
    [text, "ABC\xe4DE", "ABC\xe4DE (not-printable)"],
    [{ ...text, pattern: "[A-Z]{3}[0-9]{3}" }, "ABC123", "ABC123"],
    [{ ...text, pattern: "[A-Z]{3}[0-9]{3}" }, "ABC12x", "ABC12x (pattern)"],
    [{ ...text, pattern: "[A-Z]{3}" }, "ABC123", "ABC123 (pattern)"],
    [{ ...text, equals: "MARK01" }, "MARK01", "MARK01"],
    [{ ...text, equals: "MARK01" }, "MARK02", "MARK02 (not-the-mark)"],
    [{ ...text, oneOf: ["MARK01", "MARK02"] }, "MARK02", "MARK02"],
    [{ ...text, oneOf: ["MARK01", "MARK02"] }, "MARK03", "MARK03 (not-listed)"],
    [text, "ABC", "(unread)"],
  ])("%j in %j", (field, content, shown) => expect(readOne(field, content)).toBe(shown));

  it("is erased, not a value, where the memory says so", () => {
    expect(readOne({ ...text }, "~~~~~~", { erased: 0x7e })).toBe("~~~~~~ (erased)");
    expect(readOne({ ...text, equals: "~~~~~~" }, "~~~~~~", { erased: 0x7e })).toBe("~~~~~~");
    expect(readOne({ ...text }, "~~~~~~")).toBe("~~~~~~");
  });
});

describe("a field of digits", () => {
  it.each<[object, readonly number[], string]>([
    [{ type: "digits", length: 4 }, [0x30, 0x30, 0x31, 0x32], "0012"],
    [{ type: "digits", length: 4, padding: "20" }, [0x37, 0x20, 0x20, 0x20], "7"],
    [{ type: "digits", length: 4 }, [0x30, 0x30, 0x31, 0x41], "001A (not-digits)"],
    [{ type: "digits", length: 2, pattern: "0[1-9]" }, [0x31, 0x30], "10 (pattern)"],
    [{ type: "bcd", length: 3 }, [0x00, 0x12, 0x34], "001234"],
    [{ type: "bcd", length: 3, padding: "FF" }, [0x12, 0x34, 0xff], "1234"],
    [{ type: "bcd", length: 3 }, [0x12, 0x3a, 0x00], "123a00 (not-digits)"],
    [{ type: "bcd", length: 3, padding: "FF" }, [0xff, 0xff, 0xff], " (not-digits)"],
    [{ type: "bcd", length: 2, oneOf: ["0012"] }, [0x00, 0x12], "0012"],
  ])("%j in %j", (field, content, shown) => expect(readOne(field, content)).toBe(shown));
});

describe("a field of bytes", () => {
  it.each<[object, readonly number[], string]>([
    [{ type: "hex", length: 3 }, [0x00, 0xab, 0xff], "00abff"],
    [{ type: "hex", length: 2, equals: "AB CD" }, [0xab, 0xcd], "abcd"],
    [{ type: "hex", length: 2, equals: "AB CD" }, [0xab, 0xce], "abce (not-the-mark)"],
    [{ type: "hex", length: 1, oneOf: ["5A", "A5"] }, [0xa5], "a5"],
    [{ type: "hex", length: 1, oneOf: ["5A", "A5"] }, [0x00], "00 (not-listed)"],
  ])("%j in %j", (field, content, shown) => expect(readOne(field, content)).toBe(shown));
});

describe("an unsigned field", () => {
  const content = [0x12, 0x34, 0x56, 0x78, 0x9a, 0xbc, 0xde, 0xf0];
  it.each<[object, string]>([
    [{ length: 1 }, "18"],
    [{ length: 1, show: "hex" }, "0x12"],
    [{ length: 2, order: "big" }, String(0x1234)],
    [{ length: 2, order: "little" }, String(0x3412)],
    [{ length: 3, order: "little", show: "hex" }, "0x563412"],
    [{ length: 4, order: "big", show: "hex" }, "0x12345678"],
    [{ length: 8, order: "big" }, "1311768467463790320"],
    [{ length: 8, order: "little", show: "hex" }, "0xf0debc9a78563412"],
    [{ length: 1, bits: { from: 4, count: 4 } }, "1"],
    [{ length: 1, bits: { from: 0, count: 4 } }, "2"],
    [{ length: 2, order: "big", bits: { from: 2, count: 9 } }, String((0x1234 >> 2) & 0x1ff)],
    [{ length: 8, order: "big", bits: { from: 60, count: 4 } }, "1"],
    [{ length: 8, order: "big", bits: { from: 0, count: 64 } }, "1311768467463790320"],
    [{ length: 2, order: "big", equals: "0x1234" }, String(0x1234)],
    [{ length: 2, order: "big", equals: 1 }, `${0x1234} (not-the-mark)`],
    [{ length: 1, oneOf: [17, "0x12"] }, "18"],
    [{ length: 1, oneOf: [17] }, "18 (not-listed)"],
  ])("%j", (field, shown) => expect(readOne({ type: "unsigned", ...field }, content)).toBe(shown));
});

describe("a machine number", () => {
  const field = { type: "text", length: 17, checkDigit: "49-cfr-565" };

  // 49 CFR 565.15(c); the vectors name their sources.
  it.each(numbers.vectors)("$vin: its check digit $checkDigitMatches", ({ vin, expectedCheck, checkDigitMatches }) => {
    expect(machineNumberProblem(vin)).toBeUndefined();
    expect(checkDigitOf(vin)).toBe(expectedCheck);
    expect(readOne(field, vin)).toBe(checkDigitMatches ? vin : `${vin} (check-digit)`);
  });

  it.each(numbers.malformed)("is none: $why", ({ text }) => {
    expect(machineNumberProblem(text)).toBeDefined();
    const shown = readOne({ ...field, padding: "2E" }, text.padEnd(17, ".").slice(0, 17));
    if (text.length <= 17) expect(shown).toMatch(/\((machine-number-form|not-printable)\)$/);
  });

  it.each(numbers.noCheckDigit)("cannot have a check digit: $why", ({ text }) => {
    expect(readOne(field, text)).toBe(`${text} (check-digit)`);
    expect(readOne({ type: "text", length: 17 }, text)).toBe(text);
  });
});
