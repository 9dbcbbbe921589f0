import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { correspondences, identifiersOf } from "../../src/identity/correspondence.js";
import { measureIdentity } from "../../src/identity/measure.js";
import { privateValues } from "../../src/identity/private.js";
import type { IdentityReading } from "../../src/identity/reading.js";
import { dataIdentifiers } from "../../src/job/data-identifiers.js";
import { type Content, outside, smallUnit } from "./small-unit.js";

const text = (name: string, means: string, holds: string | undefined, more: object = {}) => ({
  name,
  means,
  holds,
  ...more,
});
const hardware = text("hardwareNumber", "hardware-number", "WB40-2000-C");
const software = text("softwareNumber", "software-number", "WB40S1040");
const calibration = text("calibrationNumber", "calibration-number", "WB40C1040N");
const answering = (dataIdentifiers: object, more: object = {}) => ({ tester: { dataIdentifiers, ...more } });

/** `subject: status`, with the values and, behind a bar, what is left open. */
function shown(readings: readonly IdentityReading[]): string[] {
  return readings.map(({ subject, status, values, open }) => {
    const list = (all: typeof values) => all.map(({ source, shown: value }) => `${source} ${value}`).join(", ");
    return `${subject}: ${status} ${list(values)}${open.length > 0 ? ` | ${list(open)}` : ""}`.trim();
  });
}

describe("the table of what answers for a meaning", () => {
  it("names identifiers of ISO 14229-1 and says where each comes from", () => {
    for (const { identifier, source } of correspondences) {
      if (identifier === "calibration-identification") expect(source).toContain("J1979");
      else {
        const name = dataIdentifiers[identifier as keyof typeof dataIdentifiers];
        expect(source.toLowerCase()).toContain(name.toLowerCase());
      }
    }
  });

  it("never takes a supplier's number for the maker's", () => {
    for (const supplier of ["F192", "F194"]) {
      expect(correspondences.find(({ identifier }) => identifier === supplier)?.certainty).toBe("open");
    }
    expect(identifiersOf("hardware-number").filter(({ certainty }) => certainty === "same")).toHaveLength(1);
  });
});

describe("image, label, tester and job sheet", () => {
  it("agree however the number is grouped", () => {
    const known = outside({
      label: { "hardware-number": "wb40 2000 c" },
      ...answering({ F191: "WB40.2000.C\u0000\u0000", F188: "WB40S 1040" }),
    });
    expect(shown(measureIdentity(smallUnit([hardware, software]), known))).toEqual([
      "hardware-number: agree image WB40-2000-C, label wb40 2000 c, tester WB40.2000.C\u0000\u0000",
      "software-number: agree image WB40S1040, tester WB40S 1040",
    ]);
  });

  it("disagree when any two of them share no value", () => {
    const known = outside({ label: { "hardware-number": "WB40-2000-C" }, ...answering({ F191: "WB40-2000-D" }) });
    expect(shown(measureIdentity(smallUnit([hardware]), known))).toEqual([
      "hardware-number: disagree image WB40-2000-C, label WB40-2000-C, tester WB40-2000-D",
    ]);
    expect(shown(measureIdentity(undefined, known))).toEqual([
      "hardware-number: disagree label WB40-2000-C, tester WB40-2000-D",
    ]);
  });

  it("agree when a source states several values and shares one", () => {
    const known = outside({ label: { "part-number": ["4711", "0815"] }, ...answering({ F187: "0815" }) });
    const unit = smallUnit([text("partNumber", "part-number", "0815"), text("otherPart", "part-number", "4711")]);
    expect(shown(measureIdentity(unit, known))).toEqual([
      "part-number: agree image 0815, image 4711, label 4711, label 0815, tester 0815",
    ]);
  });

  it("hold the machine's number of the sheet against VIN and service 09", () => {
    const known = outside(answering({ VIN: "WB-HULL-00017" }, { machineNumber: "WB HULL 00018" }), {
      number: "WB-HULL-00017",
    });
    expect(shown(measureIdentity(smallUnit([text("hull", "machine-number", "WB-HULL-00017")]), known))).toEqual([
      "machine-number: agree image WB-HULL-00017, tester WB-HULL-00017, tester WB HULL 00018, job WB-HULL-00017",
    ]);
  });

  it("take a supplier's number, a boot identification and a calibration identification for what they may be only", () => {
    const known = outside(
      answering({ F192: "SUP-1", F194: "SUP-2", F180: "1.20", F182: "X" }, { calibrations: [{ identification: "Y" }] }),
    );
    const boot = text("bootVersion", "boot-version", "1.20");
    expect(shown(measureIdentity(smallUnit([hardware, software, calibration, boot]), known))).toEqual([
      "hardware-number: left-open image WB40-2000-C | tester SUP-1",
      "software-number: left-open image WB40S1040 | tester SUP-2",
      "calibration-number: left-open image WB40C1040N | tester X, tester Y",
      "boot-version: agree image 1.20, tester 1.20",
    ]);
  });

  it("leave nothing open where the tester's own answer is there", () => {
    const known = outside(answering({ F191: "WB40-2000-C", F192: "SUP-1" }));
    expect(shown(measureIdentity(smallUnit([hardware]), known))).toEqual([
      "hardware-number: agree image WB40-2000-C, tester WB40-2000-C | tester SUP-1",
    ]);
  });

  it("follow the profile where it says what answers", () => {
    const own = { ...calibration, answeredBy: ["calibration-identification"] };
    const known = outside(answering({ F182: "X", F1A3: "S" }, { calibrations: [{ identification: "WB40C1041N" }] }));
    expect(shown(measureIdentity(smallUnit([own]), known))).toEqual([
      "calibration-number: disagree image WB40C1040N, tester WB40C1041N",
    ]);
    // Two fields of one meaning: each has its own answer, and the table's does not count for either.
    const two = [
      { ...hardware, answeredBy: ["F191"] },
      text("supplierHardware", "hardware-number", "S", { answeredBy: ["F1A3"] }),
    ];
    const both = outside(answering({ F191: "WB40-2000-D", F1A3: "s" }));
    expect(shown(measureIdentity(smallUnit(two), both))).toEqual([
      "hardware-number: one-source image WB40-2000-C, image S",
      "hardwareNumber: disagree image WB40-2000-C, tester WB40-2000-D",
      "supplierHardware: agree image S, tester s",
    ]);
  });

  it("tell a version by its dots", () => {
    const known = outside({ label: { "boot-version": "11.2" } });
    expect(shown(measureIdentity(smallUnit([text("boot", "boot-version", "1.12")]), known))).toEqual([
      "boot-version: disagree image 1.12, label 11.2",
    ]);
  });

  it("tell a number by the dots that both write", () => {
    const of = (number: string) =>
      shown(
        measureIdentity(
          smallUnit([text("software", "software-number", "1.12")]),
          outside({ label: { "software-number": number } }),
        ),
      );
    expect(of("11.2")).toEqual(["software-number: disagree image 1.12, label 11.2"]);
    expect(of("112")).toEqual(["software-number: agree image 1.12, label 112"]);
  });

  it("take a number with 0x before it for hexadecimal, whatever the field shows", () => {
    const field = { name: "number", means: "calibration-number", type: "unsigned", length: 1, holds: "\x12" };
    const of = (show: string, number: string) =>
      shown(measureIdentity(smallUnit([{ ...field, show }]), outside({ label: { "calibration-number": number } })));
    expect(of("decimal", "0x12")).toEqual(["calibration-number: agree image 18, label 0x12"]);
    expect(of("decimal", "0x18")).toEqual(["calibration-number: disagree image 18, label 0x18"]);
    expect(of("hex", "0x0012")).toEqual(["calibration-number: agree image 0x12, label 0x0012"]);
    expect(of("hex", "18")).toEqual(["calibration-number: disagree image 0x12, label 18"]);
  });

  it("compare a number that the memory holds as one without its leading zeros", () => {
    const serial = {
      name: "serial",
      means: "serial-number",
      type: "unsigned",
      length: 2,
      order: "big",
      holds: "\x04\xd2",
    };
    const known = outside({ label: { "serial-number": "0000001234" }, ...answering({ F18C: "1234" }) });
    expect(shown(measureIdentity(smallUnit([serial]), known))).toEqual([
      "serial-number: agree image 1234, label 0000001234, tester 1234",
    ]);
    const hex = { ...serial, show: "hex" };
    expect(shown(measureIdentity(smallUnit([hex]), outside({ label: { "serial-number": "04D2" } })))).toEqual([
      "serial-number: agree image 0x4d2, label 04D2",
    ]);
    // Digits of a text are all its own.
    const written = text("serial", "serial-number", "1234");
    expect(shown(measureIdentity(smallUnit([written]), outside({ label: { "serial-number": "01234" } })))).toEqual([
      "serial-number: disagree image 1234, label 01234",
    ]);
  });

  it("name a side as people do", () => {
    const unit = smallUnit([text("side", "side", "P")], {
      pair: { sides: { left: "port", right: "starboard", field: "side", values: { port: "P", starboard: "S" } } },
    });
    expect(shown(measureIdentity(unit, outside({ label: { side: "Port" } })))).toEqual([
      "side: agree image port, label Port",
    ]);
  });

  it("hold what the unit is coded for against the build of the sheet", () => {
    const unit = smallUnit([
      { name: "gearbox", inBuild: "gearbox", holds: "G21" },
      { name: "engine", holds: "E614" },
    ]);
    const machine = { build: { gearbox: "G25", engine: "E618" } };
    expect(shown(measureIdentity(unit, outside({}, machine)))).toEqual(["gearbox: disagree image G21, job G25"]);
    expect(shown(measureIdentity(unit, outside({}, { build: { gearbox: "g21" } })))).toEqual([
      "gearbox: agree image G21, job g21",
    ]);
  });

  it("say what is unreadable, and compare what is only not listed", () => {
    const erased = text("hardwareNumber", "hardware-number", undefined);
    const listed = text("softwareNumber", "software-number", "WB40S1040", { oneOf: ["WB40S1039"] });
    const known = outside({ label: { "hardware-number": "WB40-2000-C", "software-number": "WB40S1040" } });
    const readings = measureIdentity(smallUnit([erased, listed]), known);
    expect(shown(readings)).toEqual([
      "hardware-number: unreadable label WB40-2000-C",
      "software-number: agree image WB40S1040, label WB40S1040",
    ]);
    expect(readings[0]?.unreadable).toEqual([{ field: "hardwareNumber", span: { start: 0, end: 16 } }]);
  });

  it("say nothing of what nobody states, nor of an immobiliser", () => {
    const secret = text("immobiliserKey", "immobiliser", "SECRET", { answeredBy: ["F1AA"] });
    const known = outside({ label: { "serial-number": " - " }, ...answering({ F1AA: "SECRET" }) });
    expect(measureIdentity(smallUnit([secret]), known)).toEqual([]);
    expect(measureIdentity(undefined)).toEqual([]);
  });

  it("agree with themselves, whatever the number", () => {
    const character = fc.constantFrom(..."0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. ");
    const number = fc
      .array(character, { minLength: 1, maxLength: 16 })
      .map((characters) => characters.join(""))
      .filter((one) => /[0-9A-Z]/.test(one));
    fc.assert(
      fc.property(number, number, (one, other) => {
        const [reading] = measureIdentity(
          smallUnit([{ ...hardware, holds: one }]),
          outside({ label: { "hardware-number": other } }),
        );
        const bare = (written: string) => written.replace(/[-. ]/g, "");
        expect(reading?.status).toBe(bare(one) === bare(other) ? "agree" : "disagree");
      }),
      { numRuns: 60 },
    );
  });
});

describe("what belongs to an owner", () => {
  it("is every spelling of machine and serial numbers", () => {
    const unit = smallUnit([text("hull", "machine-number", "WB-HULL-00017"), hardware]);
    const known = outside({ label: { "machine-number": "WB HULL 00018", "hardware-number": "WB40-2000-C" } });
    expect(told({ readings: measureIdentity(unit, known) })).toEqual([
      "machine-number WB-HULL-00017",
      "machine-number WB HULL 00018",
    ]);
  });

  const told = (all: Parameters<typeof privateValues>[0]) =>
    privateValues(all).map(({ field, shown: value }) => `${field} ${value}`);
  const inImage = (content: Content) => told({ fields: smallUnit([content]).fields });

  it.each<[string, object]>([
    ["what belongs to the unit", { belongsTo: "unit" }],
    ["what belongs to the machine", { belongsTo: "machine" }],
    ["a serial number, whatever it is said to belong to", { means: "serial-number", belongsTo: "software" }],
    ["a machine number, whatever it is said to belong to", { means: "machine-number", belongsTo: "hardware" }],
    ["what an immobiliser holds, whatever it is said to belong to", { means: "immobiliser", belongsTo: "hardware" }],
    ["what nobody has confirmed", { means: "hardware-number", unconfirmed: "two reads only" }],
  ])("is %s", (_, more) => {
    expect(inImage({ name: "value", holds: "ABC-123", ...more })).toEqual(["value ABC-123"]);
  });

  it("is in the answer of a tester what it is in the field that nobody has confirmed", () => {
    const drafted = { ...hardware, unconfirmed: "two reads only" };
    const known = outside({ label: { "hardware-number": "WB40-9999-X" } });
    expect(told({ readings: measureIdentity(smallUnit([drafted]), known) })).toContain("hardware-number WB40-9999-X");
    expect(told({ readings: measureIdentity(smallUnit([hardware]), known) })).toEqual([]);
  });

  it("is no number of hardware or software, and no side", () => {
    for (const means of ["hardware-number", "software-number", "calibration-number", "boot-version", "side"]) {
      expect(inImage({ name: "value", holds: "ABC-123", means })).toEqual([]);
    }
  });
});
