import { readFileSync } from "node:fs";
import { describeUnit, Image, loadProfile, measureChecksums, recomputeChecksums } from "@assay/core";
import { describe, expect, it } from "vitest";
import { workboatFiles } from "../../../test-vectors/build/workboat/files.js";

// The generator computes its checksums by code of its own, so each of them that holds here is a witness for the library.

const profile = loadProfile(
  readFileSync(new URL("../../../test-vectors/workboat/profile.json", import.meta.url), "utf8"),
);
const files = workboatFiles();

const unitOf = (name: string) =>
  describeUnit(Image.of([{ address: 0, bytes: files.get(name) as Uint8Array }]), profile, "unknown");

/** Status by checksum: `+` holds, `-` fails, `?` absent, in the order of the profile. */
function standing(name: string): string {
  const sign = { holds: "+", fails: "-", absent: "?" } as const;
  return measureChecksums(unitOf(name))
    .map(({ status }) => sign[status])
    .join("");
}

const port = {
  hardwareNumber: "WB40-2170-C",
  partNumber: "WB40-9001-12",
  softwareNumber: "WB40S0318",
  calibrationStart: "0x30000",
  calibrationNumber: "WB40C0318A",
  calibratedSoftware: "WB40S0318",
  bootVersion: "2.04",
  serialNumber: "0004417203",
  producedOn: "19980312",
  machineNumber: "WB-HULL-00417",
  commissionedOn: "19980604",
  side: "P",
  build: "4-E614-G21",
  market: "4",
  engine: "E614",
  gearbox: "G21",
  firingOrder: "010503060204",
  rotation: "5a",
  trollingValve: "1",
  endMark: "WB40 END OF PART",
};
const starboard = {
  ...port,
  serialNumber: "0004417239",
  producedOn: "19980313",
  side: "S",
  firingOrder: "010402060305",
  rotation: "a5",
};
const largerEngine = {
  softwareNumber: "WB40S0407",
  calibrationNumber: "WB40C0407B",
  calibratedSoftware: "WB40S0407",
};
const donor = {
  ...port,
  ...largerEngine,
  serialNumber: "0005120466",
  producedOn: "20010417",
  machineNumber: "WB-HULL-00533",
  commissionedOn: "20010702",
  build: "4-E618-G21",
  engine: "E618",
};

/** Of boot-total, program-crc, calibration-crc, coding-sum, identity-sum. */
const whole = "+++++";

describe.each([
  ["starboard.bin", whole, starboard],
  [
    "starboard-other-build.bin",
    whole,
    { ...starboard, ...largerEngine, serialNumber: "0004590118", producedOn: "20000921" },
  ],
  ["starboard-one-byte.bin", whole, starboard],
  ["starboard-as-port.bin", whole, { ...port, serialNumber: starboard.serialNumber, producedOn: starboard.producedOn }],
  ["starboard-clone.bin", whole, port],
  ["starboard-bad-checksum.bin", "+-+++", starboard],
  ["port-read-2.bin", whole, port],
  ["port-read-3.bin", "+-+++", port],
  ["readback-good.bin", whole, port],
  ["readback-failed-page.bin", "+--++", port],
  [
    "donor-later-boot.bin",
    whole,
    {
      ...port,
      softwareNumber: "WB40S0322",
      calibrationNumber: "WB40C0322A",
      calibratedSoftware: "WB40S0322",
      bootVersion: "3.01",
      serialNumber: "0006830054",
      producedOn: "20041108",
      machineNumber: "WB-HULL-00688",
      commissionedOn: "20050214",
      build: "2-E614-G21",
      market: "2",
    },
  ],
  [
    "donor-other-hardware.bin",
    whole,
    { ...donor, hardwareNumber: "WB40-2180-A", partNumber: "WB40-9002-03", serialNumber: "0005244871" },
  ],
])("%s", (name, checksums, fields) => {
  it("has every field, readable, with the value that it was given", () => {
    const readings = unitOf(name).fields;
    expect(readings.filter(({ status }) => status !== "read")).toEqual([]);
    expect(Object.fromEntries(readings.map((one) => [one.field.name, "shown" in one ? one.shown : ""]))).toEqual(
      fields,
    );
  });

  it("has the checksums that hold and fail by design", () => expect(standing(name)).toBe(checksums));
});

describe("files of which a part is not there or not in order", () => {
  const statuses = (name: string) =>
    Object.fromEntries(unitOf(name).fields.map(({ field, status }) => [field.name, status]));

  it("starboard-short.bin lost the end of its calibration and all that lies above", () => {
    expect(standing("starboard-short.bin")).toBe("++???");
    expect(statuses("starboard-short.bin")).toMatchObject({ calibrationNumber: "read", hardwareNumber: "unread" });
  });

  it("starboard-swapped.bin makes no sense anywhere", () => {
    expect(standing("starboard-swapped.bin")).toBe("-----");
    expect(statuses("starboard-swapped.bin")).toMatchObject({ hardwareNumber: "wrong", softwareNumber: "wrong" });
  });

  it("port-line.bin shows every other 8 KiB twice", () => {
    // The small regions lie where the dead line would be 0, so they read right; the mark at the very end does not.
    expect(standing("port-line.bin")).toBe("---++");
    expect(statuses("port-line.bin")).toMatchObject({
      serialNumber: "read",
      bootVersion: "unplaced",
      endMark: "wrong",
    });
  });

  it("donor-smaller.bin has another calibration start, and nothing where this family has its identity", () => {
    expect(standing("donor-smaller.bin")).toBe("+????");
    expect(statuses("donor-smaller.bin")).toMatchObject({ calibrationStart: "wrong", hardwareNumber: "unread" });
  });
});

describe("the profile of the workboat", () => {
  it("makes the library put the same checksums into a unit as the generator does", () => {
    const good = files.get("starboard.bin") as Uint8Array;
    const bare = good.slice();
    for (const [at, length] of [
      [0x3ffc, 4],
      [0x2fffc, 4],
      [0x37ffc, 4],
      [0x383fe, 2],
      [0x389fe, 2],
    ] as const) {
      bare.fill(0xff, at, at + length);
    }
    const { image } = recomputeChecksums(Image.of([{ address: 0, bytes: bare }]), profile);
    expect(image.equals(Image.of([{ address: 0, bytes: good }]))).toBe(true);
  });

  it("gives every byte of the part to a region", () => {
    expect(
      unitOf("starboard.bin").regions.reduce((n, { spans }) => n + spans.reduce((m, s) => m + s.end - s.start, 0), 0),
    ).toBe(0x40000);
  });
});
