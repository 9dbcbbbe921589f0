import { describe, expect, it } from "vitest";
import { loadProfile, readProfile } from "../../src/profile/load.js";
import { baseProfile } from "./base-profile.js";

const digest = "ab".repeat(32);
const checksum = baseProfile.checksums[0] as (typeof baseProfile.checksums)[number];
const textOf = (parts: object) => JSON.stringify({ ...baseProfile, ...parts });
const problemsOf = (parts: object) =>
  readProfile(textOf(parts)).problems.map(({ path, message }) => `${path}: ${message}`);

describe("releases that hold together", () => {
  it("are read, digests in small letters and always as a list", () => {
    const { releases } = loadProfile(
      textOf({
        releases: [
          {
            software: "S-1",
            calibration: "C-1",
            fingerprints: { program: digest.toUpperCase(), whole: [digest, "cd".repeat(32)] },
            recipes: { program: digest },
            builds: [{ market: "north", gearbox: ["G21", "G25"] }],
            hardware: ["H-1"],
          },
          { software: "S-1", calibration: "C-2", supersedes: [{ software: "S1", calibration: "C.1" }] },
          { software: "S-2", supersedes: ["S-1", "S-0"] },
        ],
      }),
    );
    expect(releases[0]?.fingerprints).toEqual({ program: [digest], whole: [digest, "cd".repeat(32)] });
    expect(releases[2]).toEqual({
      software: "S-2",
      fingerprints: {},
      recipes: {},
      builds: [],
      supersedes: ["S-1", "S-0"],
    });
  });
});

describe("releases that do not", () => {
  it.each<[string, object[], string]>([
    [
      "two of one number",
      [{ software: "S-1" }, { software: "s 1" }],
      "releases[1].software: expected each release once, got s 1 again, as in releases[0]",
    ],
    [
      "two of one number and calibration",
      [
        { software: "S-1", calibration: "C-1" },
        { software: "S-1", calibration: "C1" },
      ],
      "releases[1].software: expected each release once, got S-1 with calibration C1 again, as in releases[0]",
    ],
    [
      "one with and one without a calibration",
      [{ software: "S-1", calibration: "C-1" }, { software: "S-1" }],
      "releases[1].software: expected a calibration in each of the releases of one software, got releases[0] too",
    ],
    [
      "a number without letters or digits",
      [{ software: "--", hardware: [" "] }],
      'releases[0].software: expected letters or digits, got "--"',
    ],
    [
      "a fingerprint of nothing",
      [{ software: "S-1", fingerprints: { dashboard: digest } }],
      "releases[0].fingerprints.dashboard: expected the name of a region, or whole, got dashboard",
    ],
    [
      "a recipe without its fingerprint",
      [{ software: "S-1", recipes: { program: digest } }],
      "releases[0].recipes.program: expected a fingerprint beside its recipe, got none",
    ],
    [
      "a circle",
      [
        { software: "S-1", supersedes: ["S-2"] },
        { software: "S-2", supersedes: ["S-3"] },
        { software: "S-3", supersedes: ["S 1"] },
      ],
      "releases[0].supersedes: expected a release that does not supersede itself, got a circle through S-1",
    ],
    [
      "one that supersedes its own number",
      [{ software: "S-1", calibration: "C-1", supersedes: ["S-1"] }],
      "releases[0].supersedes: expected a release that does not supersede itself, got a circle through S-1 with calibration C-1",
    ],
    [
      "a digest that is none",
      [{ software: "S-1", fingerprints: { program: "abc" } }],
      'releases[0].fingerprints.program: expected a SHA-256 (64 hexadecimal digits), or a list of them, got "abc"',
    ],
    [
      "an empty build",
      [{ software: "S-1", builds: [{}] }],
      "releases[0].builds[0]: expected at least one name with a value, got {}",
    ],
  ])("%s", (_what, releases, problem) => expect(problemsOf({ releases })).toContain(problem));

  it("cost little, however often they name each other", () => {
    // A thousand calibrations of one software, each superseding the software before it in 180 spellings.
    const spelt = (number: number) =>
      Array.from({ length: 180 }, (_, i) => `S${" ".repeat(i % 20)}-${".".repeat(i % 30)}${number}`);
    const releases = Array.from({ length: 1000 }, (_, i) => ({
      software: `S-${i < 500 ? 1 : 2}`,
      calibration: `C-${i}`,
      supersedes: i < 500 ? [] : spelt(1),
    }));
    expect(problemsOf({ releases })).toEqual([]);
  });
});

describe("verification numbers", () => {
  const direct = { algorithm: "CRC-32/ISO-HDLC", over: [{ region: "data" }] };
  const stored = { ...checksum, name: "plain", stored: { at: 40000, form: "value" } };

  it("are a checksum of the profile, or an algorithm over ranges", () => {
    const verificationNumbers = [
      { name: "first", calibration: "number", checksum: "plain" },
      { name: "second", checksum: direct },
    ];
    expect(problemsOf({ verificationNumbers, checksums: [{ ...stored, stored: { at: 40000 } }] })).toEqual([]);
  });

  it.each<[string, unknown, string]>([
    ["an unknown checksum", "other", "checksum: expected the name of a checksum, got other"],
    [
      "a checksum that stores no single value",
      "sum",
      "checksum: expected a checksum that stores one value, got sum with whole-comes-to-constant",
    ],
    [
      "a value of more than 4 bytes",
      { ...direct, algorithm: "CRC-64/XZ" },
      "checksum.algorithm: expected a value of at most 32 bits, got 64",
    ],
    [
      "an unknown algorithm",
      { ...direct, algorithm: "CRC-32/NOBODYS" },
      "checksum.algorithm: algorithm: expected a known name",
    ],
    [
      "an unknown region",
      { ...direct, over: [{ region: "other" }] },
      "checksum.over[0].region: expected the name of a region, got other (there are program, data)",
    ],
    ["neither of both", 5, "checksum: expected the name of a checksum, or {algorithm, over}, got 5"],
  ])("not %s", (_what, given, problem) => {
    const problems = problemsOf({ verificationNumbers: [{ name: "first", checksum: given }] });
    expect(problems.join("\n")).toContain(`verificationNumbers[0].${problem}`);
  });

  it("not a checksum that repeats, two of one name, or a field that is not there", () => {
    const checksums = [{ ...stored, stored: { at: 40000 }, repeat: { count: 2, every: 8 } }];
    const verificationNumbers = [
      { name: "first", checksum: "plain" },
      { name: "first", checksum: direct, calibration: "other" },
    ];
    expect(problemsOf({ verificationNumbers, checksums })).toEqual([
      "verificationNumbers[1].name: expected each name once, got first again",
      "verificationNumbers[1].calibration: expected the name of a field, got other (there are number, size, mark)",
      "verificationNumbers[0].checksum: expected a checksum that does not repeat, got plain",
    ]);
  });
});
