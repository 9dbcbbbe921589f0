import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { comparableNumber, comparableWord, sameNumber } from "../../src/profile/number.js";

describe("numbers that are the same", () => {
  it.each([
    ["WB40-1040-C", "wb40 1040 c"],
    ["12.34.567", "1234567"],
    ["  AB 1\u00a02", "AB12"],
    ["AB12\x00\x00\x00", "AB12"],
    ["\xff\xffAB12", "AB12"],
    ["AB\u20111\u20132", "AB-12"],
  ])("%j and %j", (a, b) => expect(sameNumber(a, b)).toBe(true));
});

describe("numbers that are not the same", () => {
  it.each([
    ["0012", "12"],
    ["A0", "AO"],
    ["A1", "AI"],
    ["WB40S1040", "WB40S1041"],
    ["AB/12", "AB12"],
    ["AB_12", "AB12"],
    ["A\x00B", "AB"],
    ["\u00e9", "\u00c9"],
    ["--", "--"],
    ["", ""],
    ["\xff\xff", " "],
  ])("%j and %j", (a, b) => expect(sameNumber(a, b)).toBe(false));
});

const letterOrDigit = fc.constantFrom(..."0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ");
const number = fc.array(letterOrDigit, { minLength: 1, maxLength: 20 }).map((characters) => characters.join(""));
const group = fc.constantFrom("", " ", "-", ".", "  ", " - ");

describe("the compared form", () => {
  it("does not change when it is taken again", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 40 }), (text) => {
        expect(comparableNumber(comparableNumber(text))).toBe(comparableNumber(text));
        expect(comparableWord(comparableWord(text))).toBe(comparableWord(text));
      }),
    );
  });

  it("does not depend on how the characters are grouped, filled up or written", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(letterOrDigit, group, fc.boolean()), { minLength: 1, maxLength: 20 }),
        fc.array(fc.constantFrom("\x00", "\xff", " "), { maxLength: 4 }),
        (parts, filling) => {
          const plain = parts.map(([character]) => character).join("");
          const written = parts.map(
            ([character, after, small]) => (small ? character.toLowerCase() : character) + after,
          );
          const fill = filling.join("");
          expect(comparableNumber(fill + written.join("") + fill)).toBe(plain);
        },
      ),
    );
  });

  it("keeps every letter and digit: what differs in one differs", () => {
    fc.assert(
      fc.property(number, number, (a, b) => {
        expect(sameNumber(a, b)).toBe(a === b);
      }),
    );
  });

  it("of a version keeps what stands between the digits", () => {
    expect(comparableWord("1.12")).not.toBe(comparableWord("11.2"));
    expect(comparableWord(" v1.12  b\x00")).toBe("V1.12 B");
  });

  it("are others when both have dots, at different places", () => {
    expect(sameNumber("WB 11.2", "WB 1.12")).toBe(false);
    expect(sameNumber("WB 11.2", "WB112")).toBe(true);
    expect(sameNumber("0 281-010", "0281 010")).toBe(true);
  });
});
