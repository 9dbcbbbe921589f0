import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { recomputeChecksums } from "../../src/checksums/recompute.js";
import { Refusal } from "../../src/findings/refusal.js";
import { encode } from "../../src/formats/encode.js";
import { Image } from "../../src/image/image.js";
import { loadJobSheet } from "../../src/job/load.js";
import { loadProfile } from "../../src/profile/load.js";
import { askCheck } from "../../src/questions/check.js";
import { fileAt, fileOf } from "./files.js";

// The invented workboat, with its direction of rotation given for each side instead of relative to the other unit.
const text = readFileSync(new URL("../../../../test-vectors/workboat/profile.json", import.meta.url), "utf8");
const document = JSON.parse(text);
const rotation = document.pair.rules.find(({ name }: { name: string }) => name === "rotation-flag");
Object.assign(rotation, { rule: "per-side", values: { port: "5A", starboard: "A5" } });
const profile = loadProfile(JSON.stringify(document));
const port = fileAt("read", "workboat/port-read-2.bin.gz").decoded.image;
const rotationAt = 0x3801e;

/** What is found in port's image once `bytes` were written at `address` and all checksums put right. */
function found(address: number, bytes: Uint8Array): string[] {
  const whole = (port.read({ start: 0, end: 0x40000 }) as Uint8Array).slice();
  whole.set(bytes, address);
  const { image, left } = recomputeChecksums(Image.of([{ address: 0, bytes: whole }]), profile);
  expect(left).toEqual([]);
  const read = fileOf("read", image.read({ start: 0, end: 0x40000 }) as Uint8Array);
  const report = askCheck({ reads: [read], profile, version: "0.0.0" });
  return report.findings.filter(({ severity }) => severity !== "note").map(({ code, detail }) => `${code}: ${detail}`);
}

describe("one unit by itself", () => {
  it("holds what its side demands, where the profile says that for each side", () => {
    expect(port.byteAt(rotationAt)).toBe(0x5a);
    expect(found(rotationAt, Uint8Array.of(0x5a))).toEqual([]);
    expect(found(rotationAt, Uint8Array.of(0xa5))).toEqual([
      "unit/side-value-other: the unit is coded for port, and rotation-flag is not what that side has: the engines turn in opposite directions, so that the flag can never be read wrong",
    ]);
  });

  it("is in doubt when nothing stands where its owner's secret belongs", () => {
    expect(found(0x38c00, new Uint8Array(0x100).fill(0xff))).toEqual([
      "unit/region-blank: all 256 bytes of immobiliser (immobiliser) are 0xFF",
    ]);
  });
});

it("is in doubt when a file leaves out a row of what is its owner's, for a lost row looks the same", () => {
  const rows = Image.of(port.segments).without([{ start: 0x38c20, end: 0x38c40 }]);
  const read = fileOf("read", encode(rows, "intel-hex"));
  const { verdict, findings } = askCheck({ reads: [read], profile, version: "0.0.0" });
  expect(verdict).toBe("review");
  expect(findings.find(({ code }) => code === "unit/holes-unconfirmed")?.detail).toMatch(
    /^32 bytes of immobiliser are not in the file, the first at 0x00038C20/,
  );
});

describe("a job sheet beside one unit", () => {
  const sheet = (side: string) => {
    const units = [{ side, label: { "software-number": "WB40S0407" } }, { side: "starboard" }];
    return loadJobSheet(JSON.stringify({ job: "assay.job/1", machine: {}, units }));
  };
  const check = (side: string) =>
    askCheck({ reads: [fileOf("read", whole())], profile, job: sheet(side), version: "0.0.0" });
  const whole = () => port.read({ start: 0, end: 0x40000 }) as Uint8Array;

  it("is held against the unit that says of itself which one it is", () => {
    expect(check("port").findings.map(({ code }) => code)).toContain("identity/sources-disagree");
  });

  it.each([
    ["the other side's unit", { units: [{ side: "starboard", label: { "software-number": "WB40S0407" } }] }],
    ["a donor", { donor: { label: { "software-number": "WB40S0407" } } }],
  ])("that describes only %s has nothing to hold against this one, and says so", (_, rest) => {
    const job = loadJobSheet(JSON.stringify({ job: "assay.job/1", ...rest }));
    const { verdict, findings } = askCheck({ reads: [fileOf("read", whole())], profile, job, version: "0.0.0" });
    expect(verdict).toBe("review");
    expect(findings.map(({ code }) => code)).toContain("identity/sheet-unit-absent");
  });

  it("is refused when it names a side that the profile does not know", () => {
    expect(() => check("Port")).toThrow(Refusal);
  });
});
