import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { crc32, gunzipSync } from "node:zlib";
import {
  askCheck,
  decode,
  describeUnit,
  loadJobSheet,
  loadProfile,
  measureIdentity,
  outsideOfDonor,
  outsideOfUnit,
} from "@assay/core";
import { describe, expect, it } from "vitest";

// What is known of the workboat from outside: the releases in its profile, and its job sheets.

const file = (name: string) => readFileSync(new URL(`../../../test-vectors/workboat/${name}`, import.meta.url));
const packed = (name: string) => file(`${name}.gz`);
const text = (name: string) => file(name).toString("utf8");
const profile = loadProfile(text("profile.json"));

describe("the releases in the profile", () => {
  const check = (name: string) => {
    const bytes = packed(name);
    const sha256 = createHash("sha256").update(bytes).digest("hex");
    const read = { role: "read", name, bytes: bytes.length, sha256, decoded: decode(bytes) };
    return askCheck({ reads: [read], profile, version: "0.0.0" });
  };

  it.each([
    ["port.hex", "WB40S0318"],
    ["starboard.bin", "WB40S0318"],
    ["starboard-other-build.bin", "WB40S0407"],
    ["donor-same.s19", "WB40S0407"],
    ["donor-other-hardware.bin", "WB40S0407"],
    ["donor-later-boot.bin", "WB40S0322"],
  ])("%s holds %s", (name, software) => {
    const report = check(name);
    const { program, calibration } = report.images[0]?.fingerprints ?? {};
    expect(profile.releases.find((release) => release.software === software)?.fingerprints).toEqual({
      program: [program],
      calibration: [calibration],
    });
    expect(report.verdict).toBe("clear");
  });

  it("tell the changed byte whose checksum was corrected", () => {
    const { verdict, findings } = check("starboard-one-byte.bin");
    expect(verdict).toBe("stop");
    expect(findings.map(({ code }) => code)).toContain("release/content-changed");
  });
});

describe("the job sheets of the workboat", () => {
  const outside = (sheet: string, side: string) => outsideOfUnit(loadJobSheet(text(sheet)), side);
  const disagreeing = (name: string, known: ReturnType<typeof outsideOfUnit>) =>
    measureIdentity(describeUnit(decode(packed(name)).image, profile), known)
      .filter(({ status }) => status === "disagree")
      .map(({ subject }) => subject);

  it("agree with the units that they speak of", () => {
    const donor = outsideOfDonor(loadJobSheet(text("job-donor.json")));
    expect(disagreeing("starboard.bin", outside("job.json", "starboard"))).toEqual([]);
    expect(disagreeing("port-read-2.bin", outside("job.json", "port"))).toEqual([]);
    expect(disagreeing("starboard.bin", outside("job-donor.json", "starboard"))).toEqual([]);
    expect(donor?.answers.get("F18C")).toEqual(["0005120466"]);
  });

  it("do not agree with a unit that was put in later", () => {
    expect(disagreeing("starboard-other-build.bin", outside("job.json", "starboard"))).toEqual([
      "software-number",
      "serial-number",
    ]);
  });

  it("state the verification number that the tester would give", () => {
    // CRC-32 by zlib over program and calibration: the corrected checksum does not hide the changed byte from it.
    const number = (name: string) =>
      crc32(gunzipSync(packed(name)).subarray(0x4000, 0x38000))
        .toString(16)
        .padStart(8, "0");
    for (const side of ["port", "starboard"]) {
      const [calibration] = outside("job.json", side)?.calibrations ?? [];
      expect(calibration?.verificationNumber).toBe(number("starboard.bin"));
    }
    expect(number("starboard-one-byte.bin")).not.toBe(number("starboard.bin"));
  });
});
