import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { loadJobSheet } from "../../src/job/load.js";
import { loadProfile } from "../../src/profile/load.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import { askDonor, type DonorRequest } from "../../src/questions/donor.js";
import type { InputFile } from "../../src/questions/input.js";
import { type Report, reportSchema } from "../../src/report/schema.js";
import { fileAt, fileOf, profileAt } from "./files.js";

// The workboat is invented; what each of its files was made to show stands in test-vectors/README.md.
const boat = new URL("../../../../test-vectors/workboat/", import.meta.url);
const profile = profileAt("workboat/profile.json");
const profileText = readFileSync(new URL("profile.json", boat), "utf8");
const job = (name: string) => loadJobSheet(readFileSync(new URL(name, boat), "utf8"));
const read = (role: string, name: string) => fileAt(role, `workboat/${name}.gz`);
const contentOf = (name: string) => new Uint8Array(gunzipSync(readFileSync(new URL(`${name}.gz`, boat))));

const usual = {
  source: read("source", "starboard.bin"),
  donor: read("donor", "donor-same.s19"),
  twin: read("twin", "port.hex"),
  profile,
  job: job("job-donor.json"),
  side: "starboard",
  version: "0.0.0",
} as const satisfies DonorRequest;

/** The report on the usual request but for `changes`, which must fit its schema; and what may be written. */
function ask(changes: { readonly [Key in keyof DonorRequest]?: DonorRequest[Key] | undefined } = {}) {
  const answer = askDonor({ ...usual, ...changes } as DonorRequest);
  expect(reportSchema.parse(answer.report)).toEqual(answer.report);
  return answer;
}
const codes = ({ findings }: Report, severity: string) =>
  [...new Set(findings.filter((one) => one.severity === severity).map(({ code }) => code))].sort();
const profileMemory = JSON.parse(profileText).memory as object;
const changedProfile = (change: (profile: Record<string, never>) => void): Profile => {
  const document = JSON.parse(profileText);
  change(document);
  return loadProfile(JSON.stringify(document));
};
/** `bytes` with one of them another. */
const withByte = (bytes: Uint8Array, at: number, value: (old: number) => number) => {
  const copy = bytes.slice();
  copy[at] = value(copy[at] as number);
  return copy;
};

describe("a failed unit, a donor from another boat, and the twin", () => {
  it("is clear: other software overwritten, the composed image mirrors the twin", () => {
    const { report, composed } = ask();
    expect(report.verdict).toBe("clear");
    expect(codes(report, "note")).toContain("donor/software-overwritten");
    expect(composed?.length).toBe(0x40000);
  });

  it("is clear with a later boot block that the profile lists for this software, and says so", () => {
    const { report, composed } = ask({
      donor: read("donor", "donor-later-boot.bin"),
      job: job("job-donor-later.json"),
    });
    expect(report.verdict).toBe("clear");
    expect(codes(report, "note")).toEqual(expect.arrayContaining(["donor/boot-kept", "donor/twin-differs-by-donor"]));
    const donor = contentOf("donor-later-boot.bin");
    expect(composed?.read({ start: 0, end: 0x4000 })).toEqual(donor.subarray(0, 0x4000));
  });

  it("is a review when the source's file leaves out part of the adaptation that goes along", () => {
    const source = usual.source;
    const image = source.decoded.image.without([{ start: 0x3a000, end: 0x3a040 }]);
    const { report } = ask({
      source: { ...source, decoded: { ...source.decoded, format: "intel-hex" as const, image } },
    });
    expect(report.verdict).toBe("review");
    expect(codes(report, "review")).toEqual(["unit/holes-unconfirmed"]);
  });

  it("lists what would change by address, what the read of the donor lacks among it", () => {
    const holes = changedProfile((document) =>
      Object.assign(document, { memory: { ...profileMemory, holes: "unknown" } }),
    );
    const whole = read("donor", "donor-later-boot.bin");
    const missing = { start: 0x5000, end: 0x6000 };
    const image = whole.decoded.image.without([missing]);
    const given = { ...whole, decoded: { ...whole.decoded, format: "intel-hex" as const, image } };
    const { report } = ask({ profile: holes, donor: given });
    expect(report.plan?.composed).toBeDefined();
    const { differences = [] } = report;
    expect(differences.map(({ start }) => start)).toEqual(differences.map(({ start }) => start).sort((a, b) => a - b));
    expect(differences.length).toBeGreaterThan(10);
    for (const { region, rule } of differences) {
      expect(region).not.toBeNull();
      expect(rule).toMatch(/^(plan|checksum)\//);
    }
    expect(differences.some(({ start, length }) => start <= 0x5000 && start + length >= 0x6000)).toBe(true);
  });

  it("puts each region whole where the plan says, and changes two bytes that it lists", () => {
    const { report, composed } = ask();
    const source = contentOf("starboard.bin");
    const donor = ask({ donor: usual.donor }).report;
    expect(donor.plan).toEqual(report.plan);
    for (const { region, origin, spans } of report.plan?.regions ?? []) {
      for (const { start, length } of spans) {
        const own = composed?.read({ start, end: start + length }) as Uint8Array;
        if (origin === "source") expect(own, `${region}`).toEqual(source.subarray(start, start + length));
        if (origin === "erased") expect(own.every((byte) => byte === 0xff)).toBe(true);
      }
    }
    // Identity stays the donor's and machine comes along: the one checksum over both is put right, and nothing else.
    expect(report.plan?.recomputed.map(({ checksum }) => checksum)).toEqual(["identity-sum"]);
    expect(report.plan?.recomputed[0]?.bytes.map(({ address }) => address)).toEqual([0x389fe, 0x389ff]);
  });
});

describe("stops", () => {
  const cases: readonly [string, Parameters<typeof ask>[0], readonly string[]][] = [
    [
      "for a donor with other hardware",
      { donor: read("donor", "donor-other-hardware.bin"), job: undefined, twin: undefined },
      ["donor/hardware-refused", "release/hardware-unlisted"],
    ],
    [
      "for a donor with a smaller part",
      { donor: read("donor", "donor-smaller.bin"), job: undefined, twin: undefined },
      ["donor/part-size-differs", "donor/regions-incomplete", "unit/mark-wrong", "unit/size-unlisted"],
    ],
    ["for one file given twice", { donor: read("donor", "starboard.bin") }, ["donor/same-file", "donor/same-unit"]],
    [
      "for a second read of the source given as donor",
      { source: read("source", "port.hex"), donor: read("donor", "port-read-2.bin"), side: "port", twin: undefined },
      ["donor/same-unit"],
    ],
    ["for the twin given as donor", { donor: read("donor", "port.hex") }, ["donor/same-file"]],
    ["for the twin read once more as donor", { donor: read("donor", "port-read-2.bin") }, ["donor/same-unit"]],
    [
      "for source and donor exchanged",
      { source: read("source", "donor-same.s19"), donor: read("donor", "starboard.bin") },
      ["identity/sources-disagree", "release/other-build", "unit/side-other"],
    ],
    ["for a source of the other side", { source: read("source", "port.hex"), twin: undefined }, ["unit/side-other"]],
    [
      "for a twin on the same side",
      { twin: read("twin", "starboard-other-build.bin"), side: undefined },
      ["pair/same-side", "release/other-build"],
    ],
    ["for the source given as twin", { twin: read("twin", "starboard.bin") }, ["pair/same-side"]],
    [
      "for a source with a failing checksum, which is not put right",
      { source: read("source", "starboard-bad-checksum.bin") },
      ["checksum/mismatch"],
    ],
    [
      "for a source that was cut short",
      { source: read("source", "starboard-short.bin") },
      ["donor/regions-incomplete"],
    ],
    [
      "for software of another build",
      { source: read("source", "starboard-other-build.bin") },
      ["release/other-build", "release/other-than-wanted", "pair/program-differs"],
    ],
    [
      "for a calibration that is no release's",
      { source: read("source", "starboard-one-byte.bin") },
      ["release/content-changed", "pair/calibration-differs"],
    ],
  ];
  it.each(cases)("%s", (_name, changes, expected) => {
    const { report, composed } = ask(changes);
    expect(report.verdict).toBe("stop");
    expect(codes(report, "stop")).toEqual(expect.arrayContaining([...expected]));
    expect(composed).toBeUndefined();
  });

  it("and speaks of the twin and the composed image, not of a left and a right unit", () => {
    const { report } = ask({ source: read("source", "starboard-other-build.bin") });
    const said = report.findings.filter(({ code }) => code.startsWith("pair/"));
    const words = JSON.stringify(said.map(({ detail, expected, found }) => [detail, expected, found]));
    expect(words).toContain("in the twin and ");
    expect(words).toContain("in the composed image");
    expect(words).not.toMatch(/(left|right) (unit|image|one)/);
  });

  it("for boot software that the profile lists for other software", () => {
    const other = changedProfile((document) => {
      (document as unknown as { donor: { boot: object[] } }).donor.boot = [{ version: "3.01", starts: ["WB40S0322"] }];
    });
    const { report } = ask({
      donor: read("donor", "donor-later-boot.bin"),
      job: job("job-donor-later.json"),
      profile: other,
    });
    expect(codes(report, "stop")).toContain("donor/boot-refuses");
  });

  it("for one version of boot software with two codes", () => {
    // One bit of the code, and the sum of 32-bit words made right again by its last word.
    const donor = contentOf("donor-later-boot.bin");
    const own = contentOf("starboard.bin").subarray(0, 0x4000);
    const changed = donor.slice();
    changed.set(own, 0);
    changed[0x203] = (changed[0x203] as number) + 1;
    const last = new DataView(changed.buffer, 0x3ffc, 4);
    last.setUint32(0, last.getUint32(0) - 1);
    const { report } = ask({ donor: fileOf("donor", changed), job: job("job-donor-later.json") });
    expect(codes(report, "stop")).toContain("donor/boot-changed");
    expect(codes(report, "stop")).not.toContain("checksum/mismatch");
  });

  it("for a plan that would overwrite the donor's hardware number", () => {
    const listed = changedProfile((document) => {
      const { donor, releases } = document as unknown as {
        donor: { regions: { region: string; origin: string }[]; hardware: object[] };
        releases: { hardware: string[] }[];
      };
      for (const one of donor.regions) if (one.region === "identity") one.origin = "source";
      donor.hardware = [{ number: "WB40-2180-A", supersedes: ["WB40-2170-C"] }];
      for (const release of releases) release.hardware.push("WB40-2180-A");
    });
    const { report } = ask({
      donor: read("donor", "donor-other-hardware.bin"),
      profile: listed,
      job: undefined,
      twin: undefined,
    });
    expect(codes(report, "stop")).toEqual(["donor/hardware-overwritten"]);
  });

  it("for a source whose program is erased", () => {
    const blank = contentOf("starboard.bin").fill(0xff, 0x4000, 0x30000);
    expect(codes(ask({ source: fileOf("source", blank) }).report, "stop")).toContain("donor/region-blank");
  });

  it.each([0xff, 0x00])("for an immobiliser that reads as %i throughout in the source", (value) => {
    const blank = contentOf("starboard.bin").fill(value, 0x38c00, 0x38d00);
    expect(codes(ask({ source: fileOf("source", blank) }).report, "stop")).toContain("donor/region-blank");
  });

  it("for a source whose hex file leaves out rows that were not erased", () => {
    const rows = gunzipSync(readFileSync(new URL("port.hex.gz", boat)))
      .toString("latin1")
      .split("\r\n");
    const thinned = rows.filter((row, i) => !(i > 900 && i < 903) || !row.startsWith(":20")).join("\r\n");
    const { report } = ask({ source: fileOf("source", Buffer.from(thinned, "latin1")), side: "port", twin: undefined });
    expect(codes(report, "stop")).toContain("checksum/mismatch");
  });

  it("for a kept boot region that is erased", () => {
    const blank = contentOf("donor-later-boot.bin").fill(0xff, 0, 0x4000);
    expect(codes(ask({ donor: fileOf("donor", blank) }).report, "stop")).toContain("donor/region-blank");
  });

  it("for hardware taken downward", () => {
    const { report } = ask({
      source: fileOf("source", renumbered("starboard.bin", "WB40-2170-D")),
      job: undefined,
      twin: undefined,
    });
    expect(codes(report, "stop")).toContain("donor/hardware-refused");
  });
});

/** The file with another hardware number, and the complement of the sum over identity and machine that follows. */
function renumbered(name: string, hardware: string): Uint8Array {
  const bytes = contentOf(name);
  bytes.set(Buffer.from(hardware.padEnd(12), "latin1"), 0x38800);
  let sum = 0;
  for (let at = 0x38800; at < 0x38c00; at += 2) {
    if (at !== 0x389fe) sum += (bytes[at] as number) * 256 + (bytes[at + 1] as number);
  }
  bytes[0x389fe] = ((0xffff - (sum % 0x10000)) >> 8) & 0xff;
  bytes[0x389ff] = (0xffff - (sum % 0x10000)) & 0xff;
  return bytes;
}

describe("is never clear", () => {
  const cases: readonly [string, Parameters<typeof ask>[0], string][] = [
    ["without a job sheet", { job: undefined }, "donor/software-unvouched"],
    ["without a twin", { side: "starboard", twin: undefined }, "donor/twin-absent"],
    ["without a side and a twin", { side: undefined, twin: undefined }, "donor/side-unasked"],
    [
      "without a side and a twin, not even when the job sheet has one unit: it may be the one that is left",
      {
        side: undefined,
        twin: undefined,
        source: read("source", "port.hex"),
        job: { ...usual.job, units: usual.job.units.filter(({ side }) => side === "port") },
      },
      "donor/side-unasked",
    ],
    [
      "when an owner's data come along and nobody said which machine they are for",
      { job: { ...usual.job, machine: { ...usual.job.machine, road: false, number: undefined } }, twin: undefined },
      "donor/owner-untold",
    ],
    ["without a profile", { profile: undefined, job: undefined, side: undefined }, "unit/profile-absent"],
    [
      "without a profile, for nothing is planned",
      { profile: undefined, job: undefined, side: undefined },
      "donor/nothing-planned",
    ],
    [
      "when the profile does not say what becomes of a region",
      { profile: changedProfile((document) => delete (document as { donor?: object }).donor), twin: undefined },
      "donor/origin-undecided",
    ],
    [
      "when the boot software is of a version that the profile does not know",
      {
        donor: read("donor", "donor-later-boot.bin"),
        job: job("job-donor-later.json"),
        profile: changedProfile((document) => {
          (document as unknown as { donor: { boot: object[] } }).donor.boot = [];
        }),
      },
      "donor/boot-unlisted",
    ],
    [
      "when the source keeps something in memory that stays the donor's",
      {
        source: fileOf(
          "source",
          withByte(contentOf("starboard.bin"), 0x3d000, () => 0x4e),
        ),
      },
      "donor/left-behind",
    ],
    [
      "when the machine number stays the donor's",
      {
        profile: changedProfile((document) => {
          const { regions } = (document as unknown as { donor: { regions: { region: string; origin: string }[] } })
            .donor;
          for (const one of regions) if (one.region === "machine") one.origin = "donor";
        }),
        twin: undefined,
      },
      "donor/machine-number-of-another",
    ],
    [
      "when the profile is not confirmed",
      { profile: changedProfile((document) => Object.assign(document, { confirmed: false })) },
      "unit/profile-unconfirmed",
    ],
  ];
  it.each(cases)("%s", (_name, changes, expected) => {
    const { report } = ask(changes);
    expect(report.verdict).toBe("review");
    expect(codes(report, "review")).toContain(expected);
  });

  it("for any single bit of the source that is changed in what is carried, unless the unit writes there itself", () => {
    const source = contentOf("starboard.bin");
    const carried = ["program", "calibration", "coding", "machine"];
    const spans = (ask().report.plan?.regions ?? []).filter(({ region }) => region && carried.includes(region));
    let seed = 20_261_125;
    const random = (below: number) => {
      seed = (Math.imul(seed, 1_103_515_245) + 12_345) >>> 0;
      return Math.floor((seed / 2 ** 32) * below);
    };
    for (let i = 0; i < 12; i++) {
      const { start, length } = spans.flatMap((part) => part.spans)[i % spans.length] as {
        start: number;
        length: number;
      };
      const at = start + random(length);
      const changed = withByte(source, at, (old) => old ^ (1 << random(8)));
      expect(ask({ source: fileOf("source", changed) }).report.verdict, `byte ${at}`).toBe("stop");
    }
  });
});

describe("a virgin donor", () => {
  const donor = contentOf("donor-later-boot.bin");
  const blank: InputFile = fileOf("donor", donor.fill(0xff, 0x4000, 0x38800).fill(0xff, 0x38c00, 0x3c000));

  it("is clear when boot and identity are there: what it never held is not asked about", () => {
    const { report } = ask({ donor: blank, job: { ...job("job-donor.json"), donor: undefined } });
    expect(codes(report, "note")).toContain("donor/virgin");
    expect(codes(report, "stop")).toEqual([]);
    expect(codes(report, "review")).toEqual([]);
    expect(report.verdict).toBe("clear");
  });
});

it("says that the donor already holds what would be written", () => {
  const { composed } = ask();
  const again = fileOf("donor", composed?.segments[0]?.bytes.slice() as Uint8Array);
  const { report } = ask({ donor: again, job: { ...job("job-donor.json"), donor: undefined } });
  expect(codes(report, "note")).toContain("donor/already-written");
  expect(report.plan?.regions.every(({ changes, region }) => changes === 0 || region === "adaptation")).toBe(true);
});

it("accepts superseding hardware upward, where the releases list it too", () => {
  const later = changedProfile((document) => {
    for (const { hardware } of (document as unknown as { releases: { hardware: string[] }[] }).releases) {
      hardware.push("WB40-2170-D");
    }
  });
  const donor = fileOf("donor", renumbered("donor-later-boot.bin", "WB40-2170-D"));
  const { report } = ask({ donor, profile: later, job: { ...job("job-donor.json"), donor: undefined } });
  expect(codes(report, "note")).toContain("donor/hardware-superseding");
  expect(codes(report, "stop")).toEqual([]);
  expect(report.verdict).toBe("clear");
});

describe("what belongs to an owner", () => {
  const immobiliser = (name: string) => Buffer.from(contentOf(name).subarray(0x38c00, 0x38d00));

  it("never stands in the report, neither of the source nor of the donor", () => {
    const text = JSON.stringify(ask({ donor: read("donor", "donor-later-boot.bin") }).report);
    for (const name of ["starboard.bin", "donor-later-boot.bin"]) {
      const key = immobiliser(name);
      for (let at = 0; at + 4 <= key.length; at += 4) {
        expect(text).not.toContain(key.subarray(at, at + 4).toString("hex"));
      }
    }
  });

  it("is masked in a private report, of every unit", () => {
    const open = JSON.stringify(ask().report);
    const masked = JSON.stringify(ask({ private: true }).report);
    for (const secret of ["0004417239", "0005120466", "0004417203", "WB-HULL-00417", "WB-HULL-00533"]) {
      expect(open).toContain(secret);
      expect(masked).not.toContain(secret);
    }
  });

  it("is masked where the tester answers what is expected of the donor by its name", () => {
    const document = JSON.parse(profileText);
    document.donor.expects = [{ name: "unitserial", means: "serial-number", oneOf: ["EXPECTED-SERIAL-66"] }];
    const expecting = loadProfile(JSON.stringify(document));
    const sheet = JSON.parse(readFileSync(new URL("job-donor.json", boat), "utf8"));
    sheet.donor = { ...sheet.donor, tester: { identifications: { unitserial: "TOLD-SERIAL-77" } } };
    const asked = { profile: expecting, job: loadJobSheet(JSON.stringify(sheet)) };
    const open = JSON.stringify(ask(asked).report);
    const masked = ask({ ...asked, private: true });
    for (const secret of ["EXPECTED-SERIAL-66", "TOLD-SERIAL-77"]) {
      expect(open).toContain(secret);
      expect(JSON.stringify(masked.report)).not.toContain(secret);
      expect(masked.mask(`new-${secret}.bin`)).toBe("new-(masked).bin");
    }
  });
});

it("is in doubt when a family without serial numbers gives the twin or the source, read once more, as donor", () => {
  const text = JSON.parse(profileText);
  text.fields = text.fields.filter(({ name }: { name: string }) => name !== "serialNumber");
  text.pair.rules = text.pair.rules.filter(({ name }: { name: string }) => name !== "own-serial");
  const known = loadProfile(JSON.stringify(text));
  const alike = (report: Report) =>
    report.findings.flatMap(({ code, detail }) => (code === "donor/contents-identical" ? [detail] : []));
  const again = ask({ profile: known, donor: read("donor", "port-read-2.bin") }).report;
  expect(again.verdict).not.toBe("clear");
  expect(alike(again)).toEqual(["donor and twin differ in nothing but what a unit writes by itself"]);
  const worn = fileOf(
    "donor",
    withByte(contentOf("starboard.bin"), 0x3a000, (old) => old ^ 1),
  );
  const source = ask({ profile: known, donor: worn }).report;
  expect(source.verdict).not.toBe("clear");
  expect(alike(source)).toEqual(["donor and source differ in nothing but what a unit writes by itself"]);
});
