import { describe, expect, it } from "vitest";
import { acceptanceOf, hardwareFor } from "../../src/profile/hardware.js";
import { readProfile } from "../../src/profile/load.js";

const problemsOf = (donor: object, memory: object = { erased: "0xFF" }) =>
  readProfile(
    JSON.stringify({
      profile: "assay.profile/1",
      id: "invented",
      title: "Invented unit",
      source: "invented",
      memory,
      regions: [
        { name: "program", role: "program", over: [{ start: 0, length: 16 }] },
        { name: "key", role: "immobiliser", over: [{ start: 16, length: 16 }] },
        { name: "faults", role: "faults", over: [{ start: 32, length: 16 }] },
      ],
      donor,
    }),
  ).problems.map(({ path, message }) => `${path}: ${message}`);

const why = "invented";

describe("what a profile says of donors", () => {
  it.each<[string, object, string]>([
    [
      "a region that is not there",
      { regions: [{ region: "boot", origin: "donor", why }] },
      "donor.regions[0].region: expected the name of a region, got boot (there are program, key, faults)",
    ],
    [
      "a region twice",
      {
        regions: [
          { region: "key", origin: "donor", why },
          { region: "key", origin: "source", why },
        ],
      },
      "donor.regions[1].region: expected each region once, got key again",
    ],
    [
      "an immobiliser that is to be erased",
      { regions: [{ region: "key", origin: "erased", why }] },
      "donor.regions[0].origin: expected source or donor for a region of role immobiliser, got erased",
    ],
    [
      "a program that is to be erased",
      { regions: [{ region: "program", origin: "erased", why }] },
      "donor.regions[0].origin: expected source or donor for a region of role program, got erased",
    ],
    [
      "hardware that takes nothing",
      { hardware: [{ number: "A" }] },
      "donor.hardware[0]: expected takes, supersedes or both, got neither",
    ],
    [
      "hardware that supersedes itself by way of another",
      {
        hardware: [
          { number: "A", supersedes: ["B"] },
          { number: "B", supersedes: ["A"] },
        ],
      },
      "donor.hardware[0].supersedes: expected hardware that does not supersede itself, got A",
    ],
    [
      "one boot version in two spellings",
      {
        boot: [
          { version: "v1.0", starts: ["S"] },
          { version: "V1.0", starts: ["T"] },
        ],
      },
      "donor.boot[1].version: expected each version once, got V1.0 again",
    ],
    [
      "hardware that is expected beside hardware that takes other software",
      {
        hardware: [{ number: "A", takes: ["B"] }],
        expects: [{ name: "hw", means: "hardware-number", oneOf: ["A"] }],
      },
      "donor.expects[0].means: expected no donor.hardware beside hardware-number, got both",
    ],
    [
      "one expectation twice",
      {
        expects: [
          { name: "index", oneOf: ["1"] },
          { name: "index", oneOf: ["2"] },
        ],
      },
      "donor.expects[1].name: expected each name once, got index again",
    ],
    [
      "an expectation without a sign in it",
      { expects: [{ name: "index", oneOf: ["1", " . "] }] },
      'donor.expects[0].oneOf[1]: expected letters or digits, got " . "',
    ],
    [
      "a number without a sign in it",
      { boot: [{ version: "1", starts: ["-"] }] },
      'donor.boot[0].starts[0]: expected letters or digits, got "-"',
    ],
    [
      "a field that is not there",
      { identifiedBy: { boot: "version" } },
      "donor.identifiedBy.boot: expected the name of a field, got version (there are none)",
    ],
  ])("is refused for %s", (_name, donor, problem) => expect(problemsOf(donor)).toContain(problem));

  it("needs to know what erased memory reads as before it leaves any", () => {
    const donor = { regions: [{ region: "faults", origin: "erased", why }] };
    expect(problemsOf(donor)).toEqual([]);
    expect(problemsOf(donor, {})).toEqual([
      "donor.regions[0].origin: expected memory.erased beside an origin of erased, got none",
    ]);
  });
});

describe("hardware that may take the software of other hardware", () => {
  const hardware = [
    { number: "H-3", supersedes: ["H-2"] },
    { number: "H-2", supersedes: ["H-1"] },
    { number: "K-1", takes: ["H-2"] },
  ];
  it.each([
    ["H-1", "h1", "same"],
    ["H-1", "H-2", "superseding"],
    ["H-1", "H-3", "superseding"],
    ["H-3", "H-2", undefined],
    ["H-2", "K-1", "listed"],
    ["H-1", "K-1", undefined],
    ["K-1", "H-2", undefined],
    ["H-1", "X", undefined],
  ])("%s by %s: %s", (source, donor, acceptance) => expect(acceptanceOf(hardware, source, donor)).toBe(acceptance));

  it("is named, its own first", () => expect(hardwareFor(hardware, "H-1")).toEqual(["H-1", "H-3", "H-2"]));
});
