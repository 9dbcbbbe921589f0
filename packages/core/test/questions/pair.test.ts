import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { algorithmNamed } from "../../src/algorithms/algorithm.js";
import { loadProfile } from "../../src/profile/load.js";
import { askPair } from "../../src/questions/pair.js";
import type { Report } from "../../src/report/schema.js";
import { reportSchema } from "../../src/report/schema.js";
import { content } from "../checksums/measured.js";
import { fileAt, fileOf, profileAt } from "./files.js";

const boatFolder = new URL("../../../../test-vectors/workboat/", import.meta.url);
const pair = (left: string, right: string, profile?: string, base = 0): Report => {
  const report = askPair({
    left: fileAt("left", left, base),
    right: fileAt("right", right, base),
    profile: profile === undefined ? undefined : profileAt(profile),
    version: "0.0.0",
  });
  expect(reportSchema.parse(report)).toEqual(report);
  return report;
};
const codes = (report: Report, severity: string) =>
  [...new Set(report.findings.filter((one) => one.severity === severity).map(({ code }) => code))].sort();
const unexplained = (report: Report) => (report.differences ?? []).filter(({ explained }) => !explained);

// Identification blocks of real displays: Debian source package edid-decode, MIT; what differs is stated in the
// provenance note beside the files and was found with cmp.
describe("the two halves of one display", () => {
  const tiles = ["edid/display-tile-0.bin", "edid/display-tile-1.bin"] as const;

  it("are clear: they differ in position and in the checksum that follows from it", () => {
    const report = pair(...tiles, "profiles/edid-two-tiles.json");
    expect(report.verdict).toBe("clear");
    expect(report.differences?.map(({ start, length, explained }) => [start, length, explained])).toEqual([
      [266, 1, true],
      [382, 1, true],
    ]);
  });

  it("are the wrong way round when given so", () => {
    const report = pair(tiles[1], tiles[0], "profiles/edid-two-tiles.json");
    expect(report.verdict).toBe("stop");
  });

  it("are no better than review without a profile", () => {
    expect(pair(...tiles).verdict).toBe("review");
  });
});

it("tells a copy that is wrong although all its sums hold", () => {
  const report = pair("edid/acer-xv273k-dp1.bin", "edid/acer-xv273k-dp1-corrupted.bin", "profiles/edid.json");
  expect(report.verdict).toBe("stop");
  for (const { checksums } of report.images) for (const { status } of checksums) expect(status).toBe("holds");
  // 112 bytes in 11 runs: cmp, stated with the real images.
  expect(unexplained(report).length).toBe(11);
  expect(unexplained(report).reduce((sum, { length }) => sum + length, 0)).toBe(112);
});

// The invented workboat: what each file was made to show stands in test-vectors/README.md.
describe("the workboat", () => {
  const boat = (right: string) => pair("workboat/port.hex.gz", `workboat/${right}`, "workboat/profile.json");

  it("is clear with its own two controllers, from two file formats", () => {
    const report = boat("starboard.bin.gz");
    expect(report.verdict).toBe("clear");
    expect(unexplained(report)).toEqual([]);
    expect(report.images.map(({ side }) => side)).toEqual(["port", "starboard"]);
    expect(report.images[0]?.fingerprints.program).toBe(report.images[1]?.fingerprints.program);
    expect(report.checks.filter(({ outcome }) => outcome === "fail" || outcome === "unknown")).toEqual([]);
  });

  it.each([
    [
      "starboard-other-build.bin.gz",
      [
        "pair/calibration-differs",
        "pair/calibration-number-differs",
        "pair/program-differs",
        "pair/software-number-differs",
      ],
    ],
    ["starboard-one-byte.bin.gz", ["pair/calibration-differs"]],
    ["starboard-as-port.bin.gz", ["pair/same-side"]],
    ["starboard-clone.bin.gz", ["pair/rule-broken", "pair/same-side", "pair/serial-number-same"]],
    ["starboard-bad-checksum.bin.gz", ["checksum/mismatch", "pair/program-differs"]],
    ["starboard-short.bin.gz", ["unit/size-unlisted"]],
    ["port.hex.gz", ["pair/same-file"]],
  ])("stops for %s", (file, expected) => {
    const report = boat(file);
    expect(report.verdict).toBe("stop");
    expect(codes(report, "stop").filter((code) => !code.startsWith("release/"))).toEqual(expected);
  });

  it("names the one changed byte and the checksum that was corrected after it", () => {
    const report = boat("starboard-one-byte.bin.gz");
    expect(unexplained(report)[0]).toMatchObject({ region: "calibration", length: 1 });
    expect(report.images[1]?.checksums.every(({ status }) => status === "holds")).toBe(true);
  });

  it("says of every finding which unit it is about, also where it has no place", () => {
    const report = boat("starboard-bad-checksum.bin.gz");
    const subjectOf = (wanted: string) =>
      report.findings.filter(({ code }) => code === wanted).map(({ subject }) => subject);
    expect(subjectOf("checksum/mismatch")).toEqual(["right"]);
    expect(subjectOf("pair/program-differs")).toEqual(["both"]);
    for (const { code, subject, severity } of report.findings) {
      if (severity === "note") continue;
      const asked = report.checks.filter((check) => check.subject === subject);
      expect(
        asked.some(({ because }) => because?.split(", ").includes(code)),
        code,
      ).toBe(true);
    }
  });

  it("knows when the files are the wrong way round", () => {
    const report = pair("workboat/starboard.bin.gz", "workboat/port.hex.gz", "workboat/profile.json");
    expect(codes(report, "stop")).toEqual(["pair/sides-exchanged"]);
  });

  // Common practice, no source: a unit that has not run since it was written has learnt nothing.
  it.each(["left", "right"] as const)(
    "notes that only one has learnt anything when the %s one is blank there",
    (role) => {
      const profile = profileAt("workboat/profile.json");
      const whole = {
        left: fileAt("left", "workboat/port.hex.gz"),
        right: fileAt("right", "workboat/starboard.bin.gz"),
      };
      const blank = Uint8Array.from({ length: 0x40000 }, (_, at) =>
        at >= 0x3a000 && at < 0x3b000 ? 0xff : (whole[role].decoded.image.byteAt(at) ?? 0xff),
      );
      const report = askPair({ ...whole, [role]: fileOf(role, blank), profile, version: "0.0.0" });
      const found = report.findings.filter(({ code }) => code === "pair/learnt-in-one-only");
      expect(found.map(({ severity, where }) => [severity, where[0]?.role, where[0]?.region])).toEqual([
        ["note", role, "adaptation"],
      ]);
      expect(report.verdict).toBe("clear");
      expect(codes(askPair({ ...whole, profile, version: "0.0.0" }), "note")).not.toContain("pair/learnt-in-one-only");
    },
  );

  it("masks what belongs to an owner, everywhere", () => {
    const request = {
      left: fileAt("left", "workboat/port.hex.gz"),
      right: fileAt("right", "workboat/starboard-clone.bin.gz"),
      profile: profileAt("workboat/profile.json"),
      version: "0.0.0",
    };
    const open = JSON.stringify(askPair(request));
    const masked = JSON.stringify(askPair({ ...request, private: true }));
    for (const secret of [open.match(/"serialNumber":"([^"]+)"/)?.[1], open.match(/"machineNumber":"([^"]+)"/)?.[1]]) {
      expect(secret).toBeTruthy();
      expect(masked).not.toContain(secret);
    }
  });

  it("finds every single bit that is changed in what no rule frees", () => {
    const left = fileAt("left", "workboat/port.hex.gz");
    const right = fileAt("right", "workboat/starboard.bin.gz");
    const profile = profileAt("workboat/profile.json");
    const whole = right.decoded.image.segments[0]?.bytes as Uint8Array;
    const matters = profile.regions.filter(({ role }) => ["boot", "program", "calibration"].includes(role));
    let seed = 20_260_101;
    const random = (below: number) => {
      seed = (Math.imul(seed, 1_103_515_245) + 12_345) >>> 0;
      return Math.floor((seed / 2 ** 32) * below);
    };
    for (let i = 0; i < 60; i++) {
      const over = matters[random(matters.length)]?.over[0] as { start: number; end: number };
      const bytes = whole.slice();
      const at = over.start + random(over.end - over.start);
      bytes[at] = (bytes[at] as number) ^ (1 << random(8));
      const report = askPair({ left, right: fileOf("right", bytes), profile, version: "0.0.0" });
      expect(report.verdict, `seed ${seed}, byte ${at}`).toBe("stop");
    }
  });
});

describe("without a profile", () => {
  const image = (bytes: Uint8Array) => fileOf("x", bytes);
  const noise = (seed: number) =>
    Uint8Array.from({ length: 4096 }, (_, i) => (Math.imul(i + seed, 2_654_435_761) >>> 13) & 0xff);

  it("stops for images that share nothing", () => {
    const report = askPair({ left: image(noise(1)), right: image(noise(70_000)), version: "0.0.0" });
    expect(codes(report, "stop")).toEqual(["pair/unrelated"]);
  });

  it.each([
    [16, "with the left image moved up by 16 bytes (0x10), 100.0 % of the content are equal"],
    [-300, "with the left image moved down by 300 bytes (0x12C), 100.0 % of the content are equal"],
  ])("tells images that are alike when one is moved by %i", (by, told) => {
    const left = fileAt("left", "workboat/starboard.bin.gz").decoded.image.segments[0]?.bytes as Uint8Array;
    const right = new Uint8Array(left.length);
    if (by > 0) right.set(left.subarray(0, -by), by);
    else right.set(left.subarray(-by));
    const report = askPair({ left: image(left), right: image(right), profile: undefined, version: "0.0.0" });
    expect(report.verdict).toBe("stop");
    expect(report.findings.find(({ code }) => code === "pair/unrelated")?.detail).toContain(told);
  });

  it("tells images that are alike at another base address", () => {
    const right = fileAt("right", "workboat/starboard.bin.gz", 0x80000);
    const left = fileAt("left", "workboat/port.hex.gz");
    const report = askPair({ left, right, profile: undefined, version: "0.0.0" });
    expect(report.verdict).toBe("review");
    expect(report.findings.find(({ code }) => code === "pair/nothing-compared")?.detail).toMatch(
      /no address in common; with the left image moved up by 524288 bytes \(0x80000\), 99\.[0-9] % of the content are equal$/,
    );
  });

  it("moves no image that shares nothing with the other", () => {
    const [left, right] = [content(4096, 1), content(4096, 2)];
    const report = askPair({ left: image(left), right: image(right), profile: undefined, version: "0.0.0" });
    expect(report.findings.find(({ code }) => code === "pair/unrelated")?.detail).toMatch(/differ$/);
  });

  it("is review for a few differences, whatever they look like", () => {
    const other = noise(1);
    other[100] = (other[100] as number) ^ 1;
    const report = askPair({ left: image(noise(1)), right: image(other), version: "0.0.0" });
    expect(report.verdict).toBe("review");
    expect(report.differences).toEqual([{ start: 100, length: 1, region: null, explained: false, rule: null }]);
  });

  it("is never clear, not even for equal content", () => {
    const equal = askPair({ left: image(noise(1)), right: image(noise(1)), version: "0.0.0" });
    expect(equal.verdict).toBe("stop"); // the same file twice
  });
});

describe("two machine numbers, each under a checksum that holds", () => {
  const document = {
    profile: "assay.profile/1",
    id: "plates",
    title: "Plates (invented)",
    source: "invented",
    memory: { size: 64 },
    regions: [{ name: "identity", role: "identity", over: [{ start: 0, length: 64 }] }],
    fields: [{ name: "machine", means: "machine-number", type: "text", at: 0, length: 8 }],
    checksums: [{ name: "identity", algorithm: "CRC-16/XMODEM", over: [{ start: 0, length: 62 }], stored: { at: 62 } }],
    pair: { rules: [] },
  };
  const unit = (machine: string, more = 0) => {
    const bytes = new Uint8Array(64).map((_, i) => 5 * i + 2);
    bytes.set(new TextEncoder().encode(machine));
    bytes[40] = 7 + more;
    const crc = algorithmNamed("CRC-16/XMODEM").start();
    crc.update(bytes.subarray(0, 62));
    new DataView(bytes.buffer).setUint16(62, Number(crc.value()));
    return bytes;
  };
  const stops = (right: Uint8Array) =>
    codes(
      askPair({
        left: fileOf("left", unit("HULL-001")),
        right: fileOf("right", right),
        profile: loadProfile(JSON.stringify(document)),
        version: "0.0.0",
      }),
      "stop",
    );

  it("are one contradiction: the checksum follows from them", () => {
    expect(stops(unit("HULL-002"))).toEqual(["pair/machine-number-differs"]);
  });

  it("are another one beside what else differs under it", () => {
    expect(stops(unit("HULL-002", 1))).toEqual(["pair/identity-differs", "pair/machine-number-differs"]);
    const broken = unit("HULL-002");
    broken[63] = (broken[63] as number) ^ 1;
    expect(stops(broken)).toContain("pair/identity-differs");
  });
});

describe("one file leaves erased rows out and the other does not", () => {
  // Records of Intel HEX as the published format has them, one at 0000 and one at 0020; the raw file has FF between.
  const row = (address: number, bytes: readonly number[]) => {
    const record = [bytes.length, address >> 8, address & 255, 0, ...bytes];
    const sum = -record.reduce((total, byte) => total + byte, 0) & 255;
    return `:${Buffer.from([...record, sum])
      .toString("hex")
      .toUpperCase()}\n`;
  };
  const content = Array.from({ length: 16 }, (_, i) => 3 * i + 1);
  const records = new TextEncoder().encode(`${row(0, content)}${row(32, content)}:00000001FF\n`);
  const raw = (between: number) => {
    const bytes = new Uint8Array(64).fill(between);
    bytes.set(content, 0);
    bytes.set(content, 32);
    bytes[47] = 9;
    return bytes;
  };
  const compare = (between: number, document?: object) =>
    askPair({
      left: fileOf("left", records),
      right: fileOf("right", raw(between)),
      profile: document && loadProfile(JSON.stringify(document)),
      version: "0.0.0",
    }).findings;

  it("is told without a profile, and only then", () => {
    const sizes = (between: number) => compare(between).find(({ code }) => code === "pair/sizes-differ")?.detail;
    expect(sizes(0xff)).toBe(
      "the left image holds 32 bytes, the right one 64; whatever only one of them holds reads 0xFF",
    );
    expect(sizes(0x00)).toMatch(/reads 0x00$/);
    const mixed = raw(0xff);
    mixed[20] = 0;
    const report = askPair({
      left: fileOf("left", records),
      right: fileOf("right", mixed),
      profile: undefined,
      version: "0.0.0",
    });
    expect(report.findings.find(({ code }) => code === "pair/sizes-differ")?.detail).toMatch(/64$/);
  });

  it("is told with a profile, and stays a review", () => {
    const document = {
      profile: "assay.profile/1",
      id: "rows",
      title: "Rows (invented)",
      source: "invented",
      memory: { size: 64, erased: "0xFF", holes: "erased" },
      regions: [{ name: "faults", role: "faults", over: [{ start: 0, length: 16 }] }],
    };
    const oneSided = (between: number) =>
      compare(between, document).find(({ code }) => code === "pair/part-in-one-only") as Report["findings"][number];
    expect(oneSided(0xff).severity).toBe("review");
    expect(oneSided(0xff).detail).toMatch(/only, from 0x00000010 on; there, all of it reads as erased memory$/);
    expect(oneSided(0x00).detail).toMatch(/only, from 0x00000010 on$/);
  });
});

it("shows no part of an owner's value where two units differ in the middle of it", () => {
  const document = JSON.parse(readFileSync(new URL("profile.json", boatFolder), "utf8"));
  document.fields.push({
    name: "ownerCode",
    belongsTo: "machine",
    type: "text",
    at: 0x38030,
    length: 8,
    required: false,
  });
  const profile = loadProfile(JSON.stringify(document));
  const withCode = (name: string, code: string) => {
    const bytes = new Uint8Array(gunzipSync(readFileSync(new URL(`${name}.gz`, boatFolder))));
    bytes.set(new TextEncoder().encode(code), 0x38030);
    return bytes;
  };
  const files = {
    left: fileOf("left", withCode("port-read-2.bin", "AB12CD34")),
    right: fileOf("right", withCode("starboard.bin", "AB12XY34")),
  };
  const shown = (isPrivate: boolean) =>
    askPair({ ...files, profile, private: isPrivate, version: "0.1.0" }).findings.flatMap(
      ({ code, expected, found }) => (code === "pair/coding-differs" ? [expected, found] : []),
    );
  // CD and XY in ASCII.
  expect(shown(false)).toEqual(["4344 as in the left unit", "5859 in the right unit"]);
  expect(shown(true)).toEqual(["(masked) as in the left unit", "(masked) in the right unit"]);
});

it("shows no content of units that nobody described when it is asked to be private", () => {
  const [left, right] = [fileAt("left", "workboat/port.hex.gz"), fileAt("right", "workboat/starboard.bin.gz")];
  const ask = (isPrivate: boolean) =>
    JSON.stringify(askPair({ left, right, private: isPrivate, version: "0.1.0" }).findings);
  const keyOfLeft = "b786de7a";
  expect(ask(false)).toContain(keyOfLeft);
  expect(ask(true)).not.toContain(keyOfLeft);
});
