import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { recomputeChecksums } from "../../src/checksums/recompute.js";
import { loadProfile } from "../../src/profile/load.js";
import { askCheck } from "../../src/questions/check.js";
import { askPair } from "../../src/questions/pair.js";
import { fileAt, fileOf, profileAt } from "./files.js";

// The invented workboat: what each file was made to show stands in test-vectors/README.md.
const profilePath = new URL("../../../../test-vectors/workboat/profile.json", import.meta.url);
const profile = profileAt("workboat/profile.json");
const file = (name: string, role = "read") => fileAt(role, `workboat/${name}.gz`);
const good = file("starboard.bin");
const bytesOf = () => (good.decoded.image.read({ start: 0, end: 0x40000 }) as Uint8Array).slice();

const check = (read: ReturnType<typeof fileOf>, known: typeof profile | "none" = profile) => {
  const report = askCheck({ reads: [read], ...(known !== "none" && { profile: known }), version: "0.0.0" });
  return { ...report, codes: report.findings.map(({ code }) => code) };
};

describe("a read that is sound", () => {
  it.each([
    "port.hex",
    "starboard.bin",
    "port-read-2.bin",
    "readback-good.bin",
    "starboard-clone.bin",
    "starboard-as-port.bin",
    "starboard-other-build.bin",
    "donor-same.s19",
    "donor-later-boot.bin",
    "donor-other-hardware.bin",
  ])("is clear: %s, erased ends of regions and all", (name) => expect(check(file(name)).verdict).toBe("clear"));

  it("is asked the same without a profile", () => {
    const { checks } = check(good, "none");
    expect(checks.filter(({ rule, outcome }) => rule.startsWith("soundness/") && outcome === "fail")).toEqual([]);
    expect(checks.find(({ rule }) => rule === "soundness/data-lines-alive")?.outcome).toBe("pass");
  });
});

describe("a damaged read", () => {
  it.each([
    ["port-line.bin", "soundness/address-line-dead"],
    ["starboard-swapped.bin", "soundness/bytes-swapped"],
    ["starboard-short.bin", "unit/size-unlisted"],
    ["readback-failed-page.bin", "soundness/hole-under-failing-checksum"],
  ])("%s is named first: %s", (name, code) => {
    const { verdict, codes } = check(file(name));
    expect([verdict, codes[0]]).toEqual(["stop", code]);
  });

  it.each([
    ["port-line.bin", "soundness/address-line-dead"],
    ["starboard-swapped.bin", "soundness/bytes-swapped"],
    ["starboard-short.bin", "soundness/size-unusual"],
    ["readback-failed-page.bin", "soundness/hole-in-content"],
  ])("%s is named without a profile too: %s", (name, code) => {
    const { verdict, codes } = check(file(name), "none");
    expect(codes).toContain(code);
    expect(verdict).toBe(
      code === "soundness/address-line-dead" || code === "soundness/bytes-swapped" ? "stop" : "review",
    );
  });

  it("tells what follows from one fault once, with its count, and asks the rules on it of nothing", () => {
    const { findings, checks } = check(file("starboard-swapped.bin"));
    expect(findings.map(({ code }) => code)).toEqual(["soundness/bytes-swapped", "soundness/consequences"]);
    expect(findings[1]?.detail).toMatch(/^2[0-9] findings follow from soundness\/bytes-swapped: .*checksum\/mismatch/);
    const values = checks.find(({ rule }) => rule === "checksum/stored-values-hold");
    expect(values).toMatchObject({ outcome: "not-applicable", because: expect.stringContaining("bytes-swapped") });
  });

  it("that was cut keeps what contradicts in the part that is there", () => {
    const bytes = bytesOf().subarray(0, 0x33a00).slice();
    bytes[0xc412] = (bytes[0xc412] as number) ^ 4;
    const { codes } = check(fileOf("read", bytes));
    expect(codes).toContain("unit/size-unlisted");
    expect(codes).toContain("checksum/mismatch");
  });
});

it("is not in order because a sum of words holds that comes out with its bytes exchanged as its words do", () => {
  const program = { start: "0x04000", end: "0x2FFFC" };
  const { checksums: _, ...document } = JSON.parse(readFileSync(profilePath, "utf8"));
  const stored = { at: "0x2FFFC", bytes: 4, order: "big" };
  const checksums = [{ name: "program-sum", algorithm: "fletcher32-be", over: [program], stored }];
  const known = loadProfile(JSON.stringify({ ...document, checksums }));
  const { image } = recomputeChecksums(good.decoded.image, known);
  const bytes = image.read({ start: 0, end: 0x40000 }) as Uint8Array;
  const read = check(
    fileOf(
      "read",
      Uint8Array.from(bytes, (_byte, at) => bytes[at ^ 1] as number),
    ),
    known,
  );
  expect(read.images[0]?.checksums[0]?.status).toBe("holds");
  expect([read.verdict, read.codes[0]]).toEqual(["stop", "soundness/bytes-swapped"]);
});

describe("a hole", () => {
  it("under a checksum that holds is told as a note, with what outweighs it", () => {
    // The calibration's checksum is made to hold over a page that was lost before it was computed.
    const bytes = bytesOf().fill(0xff, 0x31400, 0x31500);
    const failing = check(fileOf("read", bytes));
    expect(failing.codes[0]).toBe("soundness/hole-under-failing-checksum");
    const checksum = failing.images[0]?.checksums.find(({ status }) => status === "fails");
    expect(checksum?.name).toBe("calibration-crc");
    // Value and complement, as the report computes them.
    bytes.set(Buffer.from(checksum?.computed ?? "", "hex"), checksum?.at?.start);
    const { codes } = check(fileOf("read", bytes));
    expect(codes).toContain("soundness/outweighed-by-checksum");
    expect(codes).not.toContain("soundness/hole-in-content");
  });

  it("in content that no checksum covers asks for a look", () => {
    const known = { ...profile, checksums: [] };
    const { codes } = check(fileOf("read", bytesOf().fill(0xff, 0x9a00, 0x9b00)), known);
    expect(codes).toContain("soundness/hole-in-content");
  });
});

it("is asked of both sides of a pair: two damaged reads are not clear", () => {
  const ask = (name: string, known: typeof profile | undefined) =>
    askPair({ left: file(name, "left"), right: file(name, "right"), profile: known, version: "0.0.0" });
  for (const known of [profile, undefined]) {
    const { verdict, findings } = ask("port-line.bin", known);
    expect(verdict).toBe("stop");
    expect(findings.filter(({ code }) => code === "soundness/address-line-dead")).toHaveLength(2);
  }
});

it("lets a sound left side answer for a right side that is alike, and for no other", () => {
  const outcomes = (right: string) =>
    askPair({ left: file("port.hex", "left"), right: file(right, "right"), profile, version: "0.0.0" }).checks.filter(
      ({ rule, subject }) => subject === "right" && rule === "soundness/address-lines-alive",
    )[0];
  expect(outcomes("starboard.bin")).toMatchObject({
    outcome: "not-applicable",
    because: expect.stringContaining("alike"),
  });
  expect(outcomes("port-line.bin")?.outcome).toBe("fail");
});
