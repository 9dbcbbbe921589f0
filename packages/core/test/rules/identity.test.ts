import { describe, expect, it } from "vitest";
import { entryOf } from "../../src/findings/catalogue.js";
import { identityFacts } from "../../src/identity/facts.js";
import { findMachineNumbers } from "../../src/identity/find-machine-numbers.js";
import { measureIdentity } from "../../src/identity/measure.js";
import { foundMachineNumberRules, identityRules } from "../../src/rules/identity.js";
import { ask, type Rule } from "../../src/rules/rule.js";
import { type Content, outside, smallUnit } from "../identity/small-unit.js";
import { imageOf } from "../unit/unit-of.js";

/** `rule: outcome`, then each finding of it with its sentence. */
function answersOf<Facts>(rules: readonly Rule<Facts>[], facts: Facts): string[] {
  return ask(rules, "read", facts).flatMap(({ rule, judgement }) => [
    `${rule}: ${judgement.outcome}`,
    ...("findings" in judgement ? (judgement.findings ?? []) : []).map((one) => {
      const { severity, says, expected, found } = entryOf(one);
      const told = expected && found ? ` [${expected(one.facts)} | ${found(one.facts)}]` : "";
      return `  ${severity} ${one.code}: ${says(one.facts)}${told}`;
    }),
  ]);
}

function judged(contents: readonly Content[], known: object, machine?: object, parts: object = {}): string[] {
  return answersOf(identityRules, identityFacts(smallUnit(contents, parts), [], outside(known, machine)));
}

const hardware = { name: "hardwareNumber", means: "hardware-number", holds: "WB40-2000-C" };
const software = { name: "softwareNumber", means: "software-number", holds: "WB40S1040" };
const none = ["identity/machine-number-form: not-applicable", "identity/verification-number: not-applicable"];

describe("whether the sources agree", () => {
  it("does not apply when nothing is known from outside", () => {
    expect(judged([hardware], {})).toEqual(["identity/sources-agree: not-applicable", ...none]);
  });

  it("holds when they do", () => {
    expect(judged([hardware], { label: { "hardware-number": "WB40 2000 C" } })).toEqual([
      "identity/sources-agree: pass",
      ...none,
    ]);
  });

  it("does not when one differs: the finding names every value and who says it", () => {
    const known = {
      label: { "hardware-number": "WB40-2000-C" },
      tester: { dataIdentifiers: { F191: "WB40-2000-D", F188: "WB40S1041" } },
    };
    expect(judged([hardware, software], known).slice(0, 3)).toEqual([
      "identity/sources-agree: fail",
      "  stop identity/sources-disagree: the hardware number is not the same everywhere: image (hardwareNumber): WB40-2000-C; label: WB40-2000-C; tester (F191 vehicleManufacturerECUHardwareNumber): WB40-2000-D [one hardware number from image (hardwareNumber), label, tester (F191 vehicleManufacturerECUHardwareNumber) | image (hardwareNumber): WB40-2000-C; label: WB40-2000-C; tester (F191 vehicleManufacturerECUHardwareNumber): WB40-2000-D]",
      "  stop identity/sources-disagree: the software number is not the same everywhere: image (softwareNumber): WB40S1040; tester (F188 vehicleManufacturerECUSoftwareNumber): WB40S1041 [one software number from image (softwareNumber), tester (F188 vehicleManufacturerECUSoftwareNumber) | image (softwareNumber): WB40S1040; tester (F188 vehicleManufacturerECUSoftwareNumber): WB40S1041]",
    ]);
  });

  it("cannot be told when the image's own value is unreadable, or it is open what was answered", () => {
    const erased = { ...hardware, holds: undefined };
    const known = {
      label: { "hardware-number": "WB40-2000-C", "serial-number": "1234" },
      tester: { dataIdentifiers: { F194: "SUP-1" } },
    };
    expect(judged([erased, software], known).slice(0, 4)).toEqual([
      "identity/sources-agree: unknown",
      "  review identity/source-unreadable: the hardware number is known from outside (label: WB40-2000-C), and hardwareNumber holds nothing to compare it with [WB40-2000-C | no usable value in hardwareNumber]",
      "  review identity/source-left-open: the software number is image (softwareNumber): WB40S1040; what may be the same reads otherwise: tester (F194 systemSupplierECUSoftwareNumber): SUP-1 [WB40S1040 | tester (F194 systemSupplierECUSoftwareNumber): SUP-1]",
      "  note identity/one-source: only one source states the serial number: label: 1234",
    ]);
  });

  it("leaves what only the image should say to the rules on fields", () => {
    const erased = { ...hardware, holds: undefined };
    expect(judged([erased, software], { label: { "software-number": "WB40S1040" } })[0]).toBe(
      "identity/sources-agree: pass",
    );
  });

  it("says where in the image the value stands", () => {
    const unit = smallUnit([software, hardware]);
    const readings = measureIdentity(unit, outside({ label: { "hardware-number": "X" } }));
    const [rule] = identityRules;
    const judgement = rule?.judge({ readings, machineNumbers: [], verification: { declared: [], undeclared: [] } });
    expect(judgement).toMatchObject({ findings: [{ where: [{ span: { start: 16, end: 32 } }] }] });
  });
});

describe("the form of machine numbers", () => {
  // 1M8GDM9AXKP042788: worked example of Wikibooks; SGZCZ43D13S812715: Wikipedia, from memory, a misread one.
  const number = (holds: string) => [{ name: "machineNumber", means: "machine-number", holds, length: 17 }];
  const form = (holds: string, machine: object = {}) =>
    judged(number(holds), {}, machine).filter((line) => line.includes("machine-number-"));

  it("holds with a check digit that does, and where none is in use", () => {
    expect(form("1M8GDM9AXKP042788")).toEqual(["identity/machine-number-form: pass"]);
    expect(form("AAAZZZ1AZ6A000001")).toEqual(["identity/machine-number-form: pass"]);
  });

  it("is in doubt where the check digit must hold and does not, or the form is another", () => {
    expect(form("1M8GDM9A1KP042788")).toEqual([
      "identity/machine-number-form: unknown",
      "  review identity/machine-number-check-digit: image (machineNumber): 1M8GDM9A1KP042788: position 9 is 1 where X follows from the other characters [X at position 9 (49 CFR 565.15) | 1 at position 9]",
    ]);
    expect(form("WB-HULL-00017\x00\x00\x00\x00", { road: true })).toEqual([
      "identity/machine-number-form: unknown",
      "  review identity/machine-number-malformed: image (machineNumber): WB-HULL-00017: it does not have 17 characters [17 characters, digits and capitals without I, O and Q (ISO 3779) | image (machineNumber): WB-HULL-00017]",
    ]);
    expect(form("00000000000000000")[1]).toContain("it is one character repeated");
  });

  it("is only told of where the region asks for no check digit", () => {
    expect(form("SGZCZ43D13S812715")).toEqual([
      "identity/machine-number-form: pass",
      "  note identity/machine-number-check-digit-unused: image (machineNumber): SGZCZ43D13S812715: position 9 is 1, as a check digit it would be X; this region does not ask for one",
    ]);
  });
});

describe("verification numbers", () => {
  const verificationNumbers = [
    { name: "first", checksum: { algorithm: "sum32-bytes", over: [{ region: "data" }] } }, // 1 KiB of FF: 3FC00h
  ];
  const numbers = (calibrations: object[], parts: object = { verificationNumbers }) =>
    judged([], { tester: { calibrations } }, undefined, parts).filter((line) => line.includes("verification-number"));

  it("hold when the unit answered what the image comes to", () => {
    expect(numbers([{ verificationNumber: "3FC00" }])).toEqual(["identity/verification-number: pass"]);
  });

  it("do not when it answered another", () => {
    expect(numbers([{ verificationNumber: "3FC01" }])).toEqual([
      "identity/verification-number: fail",
      "  stop identity/verification-number-differs: first: the unit answered 0003fc01, the image comes to 0003fc00 [0003fc01, as the unit answered | 0003fc00, computed from the image]",
    ]);
  });

  it("cannot be told when nothing says which is which, or how it is computed", () => {
    expect(numbers([{ verificationNumber: "3FC00" }, { verificationNumber: "1" }])).toEqual([
      "identity/verification-number: unknown",
      "  review identity/verification-number-untold: first: which of the unit's answers it is cannot be told [the number that the unit answered, computed from the image | which of the unit's answers it is cannot be told]",
      "  review identity/verification-number-undeclared: the unit answered 0003fc00, 00000001, and no rule of the profile computes it [a rule in the profile for each verification number that the unit answers | none for 0003fc00, 00000001]",
    ]);
    expect(numbers([{ verificationNumber: "3FC00" }], {})[0]).toBe("identity/verification-number: unknown");
  });

  it("are not asked for where the unit answered none", () => {
    expect(numbers([{ identification: "WB40C1040N" }])).toEqual(["identity/verification-number: not-applicable"]);
  });
});

describe("machine numbers in an image without a profile", () => {
  const judgedIn = (content: string) => answersOf(foundMachineNumberRules, findMachineNumbers(imageOf(content)));

  it("are told of", () => {
    expect(judgedIn("..1M8GDM9AXKP042788..")).toEqual([
      "identity/machine-number-in-image: pass",
      "  note identity/machine-number-found: 1M8GDM9AXKP042788 stands in the image once; its check digit holds",
    ]);
    expect(judgedIn("nothing of the kind")).toEqual(["identity/machine-number-in-image: not-applicable"]);
  });
});
