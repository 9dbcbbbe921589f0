import { describe, expect, it } from "vitest";
import { loadJobSheet } from "../../src/job/load.js";
import { buildFor, outsideOfDonor, outsideOfUnit } from "../../src/job/outside.js";
import { workboatJob } from "./workboat-job.js";

const sheet = loadJobSheet(JSON.stringify(workboatJob));
const sheetOf = (parts: object) => loadJobSheet(JSON.stringify({ job: "assay.job/1", ...parts }));

describe("what a sheet says of a unit", () => {
  it("is what stands at its side, and of the machine", () => {
    expect(outsideOfUnit(sheet, "starboard")).toMatchObject({
      label: { "hardware-number": ["WB40-2000-C"] },
      answers: new Map([
        ["F188", ["WB40S1040"]],
        ["F18C", ["0000005678"]],
        ["F181", ["A", "B"]],
      ]),
      machineNumber: "WB-HULL-00017",
      build: { engine: "E614" },
    });
  });

  it("is only of the machine when the side is unknown, or there are two and none was named", () => {
    for (const side of ["ahead", undefined]) {
      expect(outsideOfUnit(sheet, side)).toMatchObject({ label: {}, machineNumber: "WB-HULL-00017" });
    }
  });

  it("is of the only unit when the sheet names no side", () => {
    const single = sheetOf({ units: [{ label: { side: "port" } }] });
    for (const side of ["port", undefined]) expect(outsideOfUnit(single, side)?.label).toEqual({ side: ["port"] });
    const named = sheetOf({ units: [{ side: "port", label: { build: "x" } }] });
    expect(outsideOfUnit(named)?.label).toEqual({ build: ["x"] });
    expect(outsideOfUnit(named, "starboard")).toBeUndefined();
    expect(outsideOfUnit(sheetOf({}))).toBeUndefined();
  });

  it("leaves the machine out for a donor: it comes from another one", () => {
    const donor = outsideOfDonor(sheet);
    expect(donor?.label).toEqual({ "hardware-number": ["WB40-2000-D"] });
    expect(donor?.machineNumber).toBeUndefined();
    expect(donor?.build).toBeUndefined();
    expect(outsideOfDonor(sheetOf({}))).toBeUndefined();
  });
});

describe("the build that a release must be for", () => {
  it("is the machine's, with the side of the unit where the sheet does not say it", () => {
    expect(buildFor(sheet)).toEqual({ market: "north", engine: "E614", gearbox: "G21" });
    expect(buildFor(sheet, "port")).toMatchObject({ engine: "E614", side: "port" });
    expect(buildFor(sheetOf({ machine: { build: { side: "both" } } }), "port")).toEqual({ side: "both" });
    expect(buildFor(sheetOf({ machine: {} }), "port")).toBeUndefined();
  });
});
