import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { checkDigitStanding, measureMachineNumbers, roadNumberProblem } from "../../src/identity/machine-number.js";
import { measureIdentity } from "../../src/identity/measure.js";
import { outside, smallUnit } from "./small-unit.js";

/** 49 CFR 565.15(c) and published worked examples; each carries its own source. */
interface Numbers {
  readonly vectors: readonly {
    readonly vin: string;
    readonly expectedCheck: string;
    readonly checkDigitMatches: boolean;
    readonly source: string;
  }[];
  readonly malformed: readonly { readonly text: string; readonly why: string }[];
  readonly noCheckDigit: readonly { readonly text: string; readonly why: string }[];
}
const vectors = new URL("../../../../test-vectors/standards/vin-vectors.json", import.meta.url);
const numbers = JSON.parse(readFileSync(vectors, "utf8")) as Numbers;

describe("the check digit", () => {
  it.each(numbers.vectors.filter(({ checkDigitMatches }) => checkDigitMatches))("of $vin holds ($source)", ({ vin }) =>
    expect(checkDigitStanding(vin)).toBe("holds"),
  );

  it.each(numbers.vectors.filter(({ checkDigitMatches }) => !checkDigitMatches))(
    "of $vin does not hold ($source)",
    ({ vin }) => expect(checkDigitStanding(vin)).toBe(/^[1-5L]/.test(vin) ? "fails" : "fails-unrequired"),
  );

  it.each(numbers.noCheckDigit)("of $text is none ($why)", ({ text }) =>
    expect(checkDigitStanding(text)).toBe("not-used"),
  );

  it.each([..."12345L"])("is required where the first character is %s", (first) => {
    const standings = [..."0123456789X"].map((digit) => checkDigitStanding(`${first}M8GDM9A${digit}KP042788`));
    expect(standings.filter((one) => one === "holds")).toHaveLength(1);
    expect(standings.filter((one) => one === "fails")).toHaveLength(10);
  });

  it.each([..."06789ABCDEFGHJKMNPRSTUVWXYZ"])("is not required where it is %s", (first) => {
    const standings = [..."0123456789X"].map((digit) => checkDigitStanding(`${first}M8GDM9A${digit}KP042788`));
    expect(standings.filter((one) => one === "holds")).toHaveLength(1);
    expect(standings.filter((one) => one === "fails-unrequired")).toHaveLength(10);
  });
});

describe("the form", () => {
  it.each(numbers.malformed)("is not that of $text: $why", ({ text }) =>
    expect(roadNumberProblem(text)).not.toBeUndefined(),
  );

  it("is blank when it is one character repeated, though the arithmetic passes", () => {
    expect(roadNumberProblem("00000000000000000")).toBe("blank");
    expect(checkDigitStanding("00000000000000000")).toBe("holds");
  });
});

describe("the machine numbers of a unit", () => {
  // 1M8GDM9AXKP042788 is the worked example of Wikibooks, "Vehicle identification number".
  const right = "1M8GDM9AXKP042788";
  const measured = (parts: {
    readonly holds?: string;
    readonly field?: object;
    readonly told?: string;
    readonly job?: string;
    readonly road?: boolean;
  }) => {
    const { holds, field, told, job, road = false } = parts;
    const unit =
      holds === undefined
        ? undefined
        : smallUnit([{ name: "number", means: "machine-number", holds, length: 17, ...field }]);
    const known = outside(told === undefined ? {} : { tester: { machineNumber: told } }, { number: job, road });
    return measureMachineNumbers(measureIdentity(unit, known), unit, road).map(
      ({ values, problem, checkDigit }) =>
        `${values.map(({ source }) => source).join("+")} ${problem ?? checkDigit?.standing}`,
    );
  };

  it("are looked at where they have 17 characters", () => {
    expect(measured({ holds: right, told: right, job: "1m8gdm9axkp042788" })).toEqual(["image+tester+job holds"]);
    expect(measured({ holds: "WB-HULL-00017", job: "WB-HULL-00017" })).toEqual([]);
    expect(measured({ holds: right, job: "1M8GDM9A1KP042788" })).toEqual(["image holds", "job fails"]);
    expect(measured({ told: "IM8GDM9AXKP042788" })).toEqual(["tester character"]);
  });

  it("are all looked at where the sheet or the profile speaks of a road vehicle", () => {
    expect(measured({ job: "WB-HULL-00017", road: true })).toEqual(["job length"]);
    expect(measured({ holds: right, field: { checkDigit: "49-cfr-565" }, job: "1M8GDM9AXKP04278" })).toEqual([
      "image holds",
      "job length",
    ]);
  });

  it("are not looked at twice where the field's own form refuses them", () => {
    const wrong = "1M8GDM9A1KP042788";
    expect(measured({ holds: wrong, field: { checkDigit: "49-cfr-565" }, job: wrong })).toEqual([]);
  });
});
