import { describe, expect, it } from "vitest";
import { askCheck } from "../../src/questions/check.js";
import { askVote } from "../../src/questions/vote.js";
import { fileAt, fileOf, profileAt } from "./files.js";

// The invented workboat: what each file was made to show stands in test-vectors/README.md.
const profile = profileAt("workboat/profile.json");
const port = fileAt("read-1", "workboat/port.hex.gz");
const starboard = fileAt("read-2", "workboat/starboard.bin.gz");
const again = fileAt("read-3", "workboat/port-read-2.bin.gz");
const known = { profile, version: "0.0.0" };

describe("reads that are of two units", () => {
  const { verdict, findings } = askCheck({ reads: [port, starboard], ...known });

  it("are told so, by the numbers that only one unit has, and not taken for a bad contact or noise", () => {
    expect(verdict).toBe("stop");
    const codes = findings.map(({ code }) => code);
    expect(codes).toContain("soundness/reads-of-two-units");
    expect(codes.filter((code) => /reads-differ|contact-on|charge-lost|reads-shifted/.test(code))).toEqual([]);
    const { detail, where } = findings.find(
      ({ code }) => code === "soundness/reads-of-two-units",
    ) as (typeof findings)[0];
    expect(detail).toMatch(
      /^a checksum over it holds in both reads, and they state serialNumber \S+ \(read-1\) and \S+ \(read-2\)/,
    );
    expect(where).toEqual([expect.objectContaining({ role: "read-2" })]);
  });

  it("stop a vote too", () => {
    const { report } = askVote({ reads: [port, starboard, again], ...known });
    expect(report.verdict).toBe("stop");
    expect(report.findings.map(({ code }) => code)).toContain("soundness/reads-of-two-units");
  });

  it("stop a vote also when a wrong bit elsewhere keeps one of them from being sound", () => {
    const bytes = (again.decoded.image.read({ start: 0, end: 0x40000 }) as Uint8Array).slice();
    bytes[0x4bb5] = (bytes[0x4bb5] as number) ^ 1;
    const other = (starboard.decoded.image.read({ start: 0, end: 0x40000 }) as Uint8Array).slice();
    other[0x3a000] = (other[0x3a000] as number) ^ 0xff;
    const reads = [fileOf("read-1", bytes), starboard, fileOf("read-3", other)];
    const { report } = askVote({ reads, ...known });
    expect(report.verdict).toBe("stop");
    expect(report.findings.map(({ code }) => code)).toContain("soundness/reads-of-two-units");
  });

  it("are masked where that is asked", () => {
    for (const report of [
      askCheck({ reads: [port, starboard], private: true, ...known }),
      askVote({ reads: [port, starboard, again], private: true, ...known }).report,
    ]) {
      const told = report.findings.find(({ code }) => code === "soundness/reads-of-two-units");
      expect(told?.detail).toContain("serialNumber (masked) (read-1) and (masked) (read-2)");
    }
  });
});

it("a serial number that was misread is a bad read, not another unit", () => {
  const bytes = (again.decoded.image.read({ start: 0, end: 0x40000 }) as Uint8Array).slice();
  const { fields } = profile;
  const serial = fields.find(({ means }) => means === "serial-number");
  expect(serial).toBeDefined();
  const clean = askCheck({ reads: [port], ...known }).images[0]?.identity[serial?.name ?? ""] as string;
  const at = Buffer.from(bytes).indexOf(clean);
  expect(at).toBeGreaterThan(0);
  bytes[at] = (bytes[at] as number) ^ 1;
  const codes = askCheck({ reads: [port, fileOf("read-2", bytes)], ...known }).findings.map(({ code }) => code);
  expect(codes).not.toContain("soundness/reads-of-two-units");
  expect(codes).toContain("soundness/reads-differ");
});

// 1M8GDM9AXKP042788 is a published example of a number with its check digit (test-vectors/standards/vin-vectors.json).
it("a machine number is found without a profile, and masked where that is asked", () => {
  const bytes = new Uint8Array(0x1000).map((_, i) => (i * 97 + (i >> 3)) & 0x7f);
  bytes.set(Buffer.from("\0" + "1M8GDM9AXKP042788" + "\0"), 0x200);
  const read = fileOf("read", bytes);
  const found = (hidden: boolean) =>
    askCheck({ reads: [read], version: "0.0.0", private: hidden }).findings.find(
      ({ code }) => code === "identity/machine-number-found",
    )?.detail;
  expect(found(false)).toContain("1M8GDM9AXKP042788");
  expect(found(true)).toMatch(/^\(masked\) stands/);
});
