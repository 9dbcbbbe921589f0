import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { jobSheetJsonSchema, loadJobSheet, readJobSheet } from "../../src/job/load.js";
import { workboatJob } from "./workboat-job.js";

const problemsOf = (text: string) =>
  readJobSheet(text).problems.map(({ path, message, line }) => `${line} ${path}: ${message}`);
const sheetWith = (parts: object) => JSON.stringify({ job: "assay.job/1", ...parts });
const withIdentifiers = (dataIdentifiers: string) =>
  `{"job": "assay.job/1",\n "units": [\n  {"tester": {"dataIdentifiers":\n   ${dataIdentifiers}}}]}`;

describe("a job sheet that holds together", () => {
  it("is read, with lists for single values and verification numbers of 4 bytes", () => {
    const sheet = loadJobSheet(JSON.stringify(workboatJob));
    expect(sheet.units[1]?.tester).toEqual({
      dataIdentifiers: { F188: ["WB40S1040"], ECUSerialNumber: ["0000005678"], F181: ["A", "B"] },
      identifications: {},
      // A shorter number is left-padded with 00: SAE J1979, service 09, information type 06.
      calibrations: [{ identification: "WB40C1040N", verificationNumber: "000029b1" }],
    });
    expect(sheet.units[0]?.label?.["part-number"]).toEqual(["WB40-7001-02", "7001 02"]);
    expect(sheet.machine?.road).toBe(false);
  });

  it("may say next to nothing", () => {
    expect(loadJobSheet('{"job": "assay.job/1"}')).toEqual({ job: "assay.job/1", units: [] });
  });
});

describe("a job sheet that does not", () => {
  it.each<[string, string, string[]]>([
    ["no object", "[]", ["1 : expected an object, got []"]],
    ["another document", '{\n"job": "assay.profile/1"}', ['2 job: expected assay.job/1, got "assay.profile/1"']],
    ["nothing said", "\n\n{}", ["3 job: expected assay.job/1, got nothing"]],
    ["a key of its own", '{"job": "assay.job/1",\n"boat": 1}', ["2 boat: expected no such key, got it"]],
    [
      "an identifier by number and by name",
      withIdentifiers('{"F190": "1",\n"VIN": "2"}'),
      ["5 units[0].tester.dataIdentifiers.VIN: expected F190 VIN once, got it as F190 too"],
    ],
    [
      "an identifier that is none",
      withIdentifiers('{"hardware": "1"}'),
      [
        '4 units[0].tester.dataIdentifiers.hardware: expected a data identifier: four hexadecimal digits, or a name of ISO 14229-1 such as ECUSerialNumber, got "hardware"',
      ],
    ],
    [
      "an answer that is no text",
      withIdentifiers('{"F190": 1}'),
      ["4 units[0].tester.dataIdentifiers.F190: expected a text, or a list of texts, got 1"],
    ],
    [
      "a label with the immobiliser's secret",
      sheetWith({ units: [{ label: { immobiliser: "1" } }] }),
      ["1 units[0].label.immobiliser: expected no such key, got it"],
    ],
    [
      "two units on one side",
      sheetWith({ units: [{ side: "port" }, { side: "port" }] }),
      ["1 units[1].side: expected each side once, got port again"],
    ],
    [
      "two units, one without a side",
      sheetWith({ units: [{ side: "port" }, {}] }),
      ["1 units[1].side: expected a side for each of several units, got none"],
    ],
    [
      "a verification number of 5 bytes",
      sheetWith({ donor: { tester: { calibrations: [{ verificationNumber: "0102030405" }] } } }),
      ['1 donor.tester.calibrations[0].verificationNumber: expected up to 8 hexadecimal digits, got "0102030405"'],
    ],
    [
      "a calibration that says nothing",
      sheetWith({ donor: { tester: { calibrations: [{}] } } }),
      ["1 donor.tester.calibrations[0]: expected an identification, a verification number or both, got neither"],
    ],
    [
      "a calibration identification of 17 characters",
      sheetWith({ donor: { tester: { calibrations: [{ identification: "12345678901234567" }] } } }),
      ['1 donor.tester.calibrations[0].identification: expected at most 16 characters, got "12345678901234567"'],
    ],
    [
      "a build with a value that is no text",
      sheetWith({ machine: { build: { market: 2 } } }),
      ["1 machine.build.market: expected a text, got 2"],
    ],
  ])("%s", (_what, text, problems) => expect(problemsOf(text)).toEqual(problems));

  it("is refused with its place and the count of what else is wrong", () => {
    try {
      loadJobSheet('{"job": "assay.job/1",\n"boat": 1,\n"ship": 2}');
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(Refusal);
      expect(error).toMatchObject({
        code: "job/invalid",
        message: "boat: expected no such key, got it (and 1 more)",
        place: { path: "boat", line: 2 },
      });
    }
  });
});

describe("the schema of a job sheet", () => {
  it("is JSON Schema of 2020-12 that names what it is and closes every object", () => {
    const schema = JSON.parse(JSON.stringify(jobSheetJsonSchema())) as {
      readonly $schema: string;
      readonly $defs: Readonly<
        Record<string, { readonly properties?: object; readonly additionalProperties?: unknown }>
      >;
    };
    expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
    expect(Object.keys(schema.$defs["assay.job/1"]?.properties ?? {})).toEqual([
      "$schema",
      "job",
      "title",
      "machine",
      "units",
      "donor",
      "wanted",
      "note",
      "$comment",
    ]);
    for (const [name, { properties, additionalProperties }] of Object.entries(schema.$defs)) {
      if (properties) expect(additionalProperties, name).toBe(false);
    }
  });
});
