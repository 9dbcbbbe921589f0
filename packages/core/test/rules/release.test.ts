import { describe, expect, it } from "vitest";
import { entryOf } from "../../src/findings/catalogue.js";
import { measureRelease } from "../../src/identity/release.js";
import { machineReleaseRules, releaseRules } from "../../src/rules/release.js";
import { ask } from "../../src/rules/rule.js";
import { verdictOf } from "../../src/verdict/verdict.js";
import { smallUnit } from "../identity/small-unit.js";

const digest = (letter: string) => letter.repeat(64);
const north = { market: "north", engine: "E614", gearbox: "G21" };
const releases = [
  {
    software: "WB40S1040",
    calibration: "WB40C1040N",
    fingerprints: { program: digest("a"), data: digest("b") },
    builds: [{ market: "north", engine: "E614" }],
    hardware: ["WB40-2000-C"],
  },
  {
    software: "WB40S1040",
    calibration: "WB40C1040S",
    fingerprints: { program: digest("a"), data: digest("c") },
    builds: [{ market: "south", engine: "E614" }],
    hardware: ["WB40-2000-C"],
  },
  {
    software: "WB40S1041",
    fingerprints: { program: digest("d"), data: digest("e") },
    builds: [{ market: "north" }],
    supersedes: [{ software: "WB40S1040", calibration: "WB40C1040N" }],
  },
];

interface Case {
  readonly software?: string | undefined;
  readonly calibration?: string | undefined;
  readonly hardware?: string | undefined;
  /** Digests of program and data, a letter each. */
  readonly content?: string;
  readonly build?: Readonly<Record<string, string>> | undefined;
  readonly sheet?: boolean;
  readonly wanted?: { readonly software: string; readonly calibration?: string };
  readonly listed?: readonly object[];
}

const right: Case = {
  software: "WB40S1040",
  calibration: "WB40C1040N",
  hardware: "WB40-2000-C",
  content: "ab",
  build: north,
};

function checksOf(one: Case) {
  const { content = "", build, sheet = true, listed = releases } = one;
  const unit = smallUnit(
    [
      { name: "software", means: "software-number", holds: one.software },
      { name: "calibration", means: "calibration-number", holds: one.calibration },
      { name: "hardware", means: "hardware-number", holds: one.hardware },
    ],
    { releases: listed },
  );
  const fingerprints = ["program", "data"].slice(0, content.length).map((part, i) => ({
    part,
    recipe: digest("1"),
    digest: digest(content[i] as string),
  }));
  const reading = measureRelease(unit, fingerprints, build);
  return [
    ...ask(releaseRules, "read", reading),
    ...ask(machineReleaseRules, "read", {
      reading,
      build: !sheet ? "no-sheet" : build ? "given" : "left-out",
      wanted: one.wanted,
    }),
  ];
}

/** One letter for each rule in order: pass, fail, unknown, or - where it does not apply. */
function outcomes(one: Case): string {
  const letters = { pass: "p", fail: "f", unknown: "u", "not-applicable": "-" };
  return checksOf(one)
    .map(({ judgement }) => letters[judgement.outcome])
    .join("");
}

function findings(one: Case): string[] {
  return checksOf(one).flatMap(({ judgement }) =>
    ("findings" in judgement ? (judgement.findings ?? []) : []).map((found) => {
      const { severity, says, expected, found: got } = entryOf(found);
      const told = expected && got ? ` [${expected(found.facts)} | ${got(found.facts)}]` : "";
      return `${severity} ${found.code}: ${says(found.facts)}${told}`;
    }),
  );
}

const note = "note release/superseded: WB40S1040 with calibration WB40C1040N was superseded by WB40S1041";

describe("the rules on releases", () => {
  it("are these, in this order", () => {
    expect(checksOf(right).map(({ rule }) => rule)).toEqual([
      "release/known",
      "release/content-is-the-release",
      "release/hardware-listed",
      "release/build-fits",
      "release/current",
      "release/wanted",
    ]);
  });

  it.each<[string, Case, string, string[]]>([
    ["the right software", right, "ppppp-", [note]],
    ["the right software, as wanted", { ...right, wanted: { software: "WB40S 1040" } }, "pppppp", [note]],
    ["a profile without releases", { ...right, listed: [] }, "------", []],
    [
      "software of another build: each half is consistent in itself",
      { ...right, calibration: "WB40C1040S", content: "ac" },
      "pppfp-",
      [
        "stop release/other-build: WB40S1040 with calibration WB40C1040S is for market south, and this machine has market north [a release for market north | WB40S1040 with calibration WB40C1040S, for market south]",
      ],
    ],
    [
      "a number that is not listed",
      { ...right, software: "WB40S1042", content: "xy" },
      "u-----",
      [
        "review release/unknown: the unit names software WB40S1042 with calibration WB40C1040N, which is none of the 3 releases of the profile [one of 3 listed releases | software WB40S1042 with calibration WB40C1040N]",
      ],
    ],
    [
      "a number that is not listed over the content of a release",
      { ...right, software: "WB40S1042", content: "de" },
      "uf-pp-",
      [
        "review release/unknown: the unit names software WB40S1042 with calibration WB40C1040N, which is none of the 3 releases of the profile [one of 3 listed releases | software WB40S1042 with calibration WB40C1040N]",
        "stop release/content-of-another: the unit names WB40S1042 with calibration WB40C1040N, and its content is that of WB40S1041 [the content of WB40S1042 with calibration WB40C1040N | the content of WB40S1041]",
      ],
    ],
    [
      "one number and the content of another",
      { ...right, content: "de" },
      "pfppp-",
      [
        "stop release/content-of-another: the unit names WB40S1040 with calibration WB40C1040N, and its content is that of WB40S1041 [the content of WB40S1040 with calibration WB40C1040N | the content of WB40S1041]",
        note,
      ],
    ],
    [
      "content that is no release's",
      { ...right, content: "ax" },
      "pfppp-",
      [
        "stop release/content-changed: the unit names WB40S1040 with calibration WB40C1040N, and differs from it: data is no listed release's [the content of WB40S1040 with calibration WB40C1040N | data is no listed release's]",
        note,
      ],
    ],
    [
      "the calibration of another release under the program of this",
      { ...right, content: "ae" },
      "pfppp-",
      [
        "stop release/content-changed: the unit names WB40S1040 with calibration WB40C1040N, and differs from it: data is that of WB40S1041 [the content of WB40S1040 with calibration WB40C1040N | data is that of WB40S1041]",
        note,
      ],
    ],
    [
      "a part without a fingerprint",
      { ...right, content: "a" },
      "puppp-",
      [
        "review release/content-untold: the unit names WB40S1040 with calibration WB40C1040N; no fingerprint to compare for data [a fingerprint of each part of WB40S1040 with calibration WB40C1040N, made by the same recipe | none for data]",
        note,
      ],
    ],
    [
      "a release of which the profile has no fingerprint",
      { ...right, software: "S-9", listed: [{ software: "S-9" }] },
      "pu--p-",
      [
        "review release/content-untold: the unit names S-9, of which the profile has no fingerprint [a fingerprint of each part of S-9, made by the same recipe | none]",
      ],
    ],
    [
      "no readable number, and the content of a release",
      { ...right, software: undefined },
      "upppp-",
      [
        "review release/number-untold: the software number cannot be read; by its content it is WB40S1040 with calibration WB40C1040N [a readable software number | only the content, that of WB40S1040 with calibration WB40C1040N]",
        note,
      ],
    ],
    [
      "no readable number and content that is nobody's",
      { ...right, software: undefined, content: "xy" },
      "u-----",
      ["review release/number-untold: the software number cannot be read [a readable software number | none]"],
    ],
    ["a calibration number that the content makes up for", { ...right, calibration: undefined }, "ppppp-", [note]],
    [
      "hardware that is not listed",
      { ...right, hardware: "WB40-2000-B" },
      "ppfpp-",
      [
        "stop release/hardware-unlisted: WB40S1040 with calibration WB40C1040N is for hardware WB40-2000-C, and the unit is WB40-2000-B [hardware WB40-2000-C | hardware WB40-2000-B]",
        note,
      ],
    ],
    [
      "hardware that cannot be read",
      { ...right, hardware: undefined },
      "ppupp-",
      [
        "review release/hardware-untold: WB40S1040 with calibration WB40C1040N is for hardware WB40-2000-C, and the unit's hardware number cannot be read [hardware WB40-2000-C | no readable hardware number]",
        note,
      ],
    ],
    [
      "a sheet without a build",
      { ...right, build: undefined },
      "pppup-",
      [
        "review release/not-asked: the profile tells the builds of 3 releases, and the job sheet names none to compare them with [machine.build in the job sheet | none]",
        note,
      ],
    ],
    ["no sheet", { ...right, build: undefined, sheet: false }, "ppp-p-", [note]],
    [
      "a build that leaves something open",
      { ...right, build: { market: "north" } },
      "pppup-",
      [
        "review release/build-untold: WB40S1040 with calibration WB40C1040N depends on engine, which the job sheet does not state [engine in the build of the job sheet | nothing]",
        note,
      ],
    ],
    [
      "another software than is wanted",
      { ...right, wanted: { software: "WB40S1041" } },
      "pppppf",
      [
        note,
        "stop release/other-than-wanted: the job sheet wants WB40S1041, and the unit holds WB40S1040 with calibration WB40C1040N [WB40S1041 | WB40S1040 with calibration WB40C1040N]",
      ],
    ],
    [
      "another calibration than is wanted",
      { ...right, wanted: { software: "WB40S1040", calibration: "WB40C1040S" } },
      "pppppf",
      [
        note,
        "stop release/other-than-wanted: the job sheet wants WB40S1040 with calibration WB40C1040S, and the unit holds WB40S1040 with calibration WB40C1040N [WB40S1040 with calibration WB40C1040S | WB40S1040 with calibration WB40C1040N]",
      ],
    ],
    [
      "wanted software and no readable number",
      { ...right, software: undefined, content: "xy", wanted: { software: "WB40S1040" } },
      "u----u",
      [
        "review release/number-untold: the software number cannot be read [a readable software number | none]",
        "review release/wanted-untold: the job sheet wants WB40S1040, and the unit's software number cannot be read [WB40S1040 | no readable software number]",
      ],
    ],
  ])("say of %s", (_what, one, expected, sentences) => {
    expect(outcomes(one)).toBe(expected);
    expect(findings(one)).toEqual(sentences);
  });

  it("come to clear only for the right software", () => {
    const verdict = (one: Case) => {
      const checks = checksOf(one);
      const all = checks.flatMap(({ judgement }) => ("findings" in judgement ? (judgement.findings ?? []) : []));
      return verdictOf(checks, all);
    };
    expect(verdict(right)).toBe("clear");
    expect(verdict({ ...right, content: "ax" })).toBe("stop");
    expect(verdict({ ...right, content: "a" })).toBe("review");
  });
});
