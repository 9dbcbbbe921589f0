import { describe, expect, it } from "vitest";
import { buildFit } from "../../src/identity/build.js";
import { measureRelease, type PartFingerprint } from "../../src/identity/release.js";
import { loadProfile } from "../../src/profile/load.js";
import { smallUnit } from "./small-unit.js";

const digest = (letter: string) => letter.repeat(64);
const own = (program: string, data: string, recipe = "1"): PartFingerprint[] => [
  { part: "program", recipe: digest(recipe), digest: digest(program) },
  { part: "data", recipe: digest(recipe), digest: digest(data) },
];
const releases = [
  {
    software: "S-1",
    calibration: "C-1",
    fingerprints: { program: digest("a"), data: digest("b") },
    builds: [{ market: "north", gearbox: ["G21", "G25"] }],
    hardware: ["H-1"],
  },
  {
    software: "S-1",
    calibration: "C-2",
    fingerprints: { program: digest("a"), data: digest("c") },
    builds: [{ market: "south" }],
    supersedes: [{ software: "S-1", calibration: "C-1" }],
  },
  { software: "S-2", fingerprints: { program: digest("d") }, recipes: { program: digest("1") }, supersedes: ["S-1"] },
  { software: "S-3", supersedes: ["S2"] },
];
const unit = (software: string | undefined, calibration: string | undefined, hardware: string | undefined = "H-1") =>
  smallUnit(
    [
      { name: "software", means: "software-number", holds: software },
      { name: "calibration", means: "calibration-number", holds: calibration },
      { name: "hardware", means: "hardware-number", holds: hardware },
    ],
    { releases },
  );
const names = (list: readonly { readonly name: string }[]) => list.map(({ name }) => name);

describe("the release that the numbers say", () => {
  it("is that of software and calibration number, however they are grouped", () => {
    const { numbered, held, software } = measureRelease(unit("s1", "c.1"), own("a", "b"));
    expect(names(numbered)).toEqual(["S-1 with calibration C-1"]);
    expect(names(held)).toEqual(["S-1 with calibration C-1"]);
    expect(software).toBe("s1");
  });

  it("is any of the software when the calibration number cannot be read", () => {
    const { numbered, held } = measureRelease(unit("S-1", undefined), own("a", "c"));
    expect(names(numbered)).toEqual(["S-1 with calibration C-1", "S-1 with calibration C-2"]);
    expect(names(held)).toEqual(["S-1 with calibration C-2"]);
  });

  it("is none when a number is not listed, or not readable", () => {
    expect(measureRelease(unit("S-9", "C-1"), own("a", "b")).numbered).toEqual([]);
    expect(measureRelease(unit("S-1", "C-9"), own("a", "b")).numbered).toEqual([]);
    expect(measureRelease(unit(undefined, "C-1"), own("a", "b")).numbered).toEqual([]);
  });
});

describe("the release that the content is", () => {
  it("is another than the numbers say when all of that one's fingerprints are the unit's", () => {
    const { numbered, held } = measureRelease(unit("S-1", "C-1"), own("d", "b"));
    expect(numbered[0]).toMatchObject({ content: "different", differing: [{ part: "program", heldBy: ["S-2"] }] });
    expect(names(held)).toEqual(["S-2"]);
  });

  it("is none when no release has it; a part of it may still be that of one", () => {
    const { numbered, held } = measureRelease(unit("S-1", "C-1"), own("a", "c"));
    expect(numbered[0]?.differing).toEqual([{ part: "data", heldBy: ["S-1 with calibration C-2"] }]);
    expect(names(held)).toEqual(["S-1 with calibration C-2"]);
    const changed = measureRelease(unit("S-1", "C-1"), own("a", "e"));
    expect(changed.numbered[0]?.differing).toEqual([{ part: "data", heldBy: [] }]);
    expect(changed.held).toEqual([]);
  });

  it("is not known without a fingerprint, with one of another recipe, or when the release lists none", () => {
    const { numbered } = measureRelease(unit("S-1", "C-1"), own("a", "b").slice(0, 1));
    expect(numbered[0]).toMatchObject({ content: "unknown", untold: ["data"], differing: [] });
    expect(measureRelease(unit("S-2", "C-1"), own("d", "b", "2")).numbered[0]).toMatchObject({
      content: "unknown",
      untold: ["program"],
    });
    expect(measureRelease(unit("S-2", "C-1"), own("d", "b")).numbered[0]?.content).toBe("same");
    expect(measureRelease(unit("S-3", "C-1"), own("a", "b")).numbered[0]).toMatchObject({
      content: "unknown",
      untold: [],
    });
  });
});

describe("what a release goes with", () => {
  it("is the last of those that take its place, by way of others too", () => {
    const successors = (software: string, calibration: string) =>
      measureRelease(unit(software, calibration), []).numbered[0]?.successors;
    expect(successors("S-1", "C-1")).toEqual(["S-3"]);
    expect(successors("S-2", "C-1")).toEqual(["S-3"]);
    expect(successors("S-3", "C-1")).toEqual([]);
  });

  it("is the hardware that it lists, or any", () => {
    const hardware = (software: string, calibration: string, number: string | undefined) =>
      measureRelease(unit(software, calibration, number), []).numbered[0]?.hardware;
    expect(hardware("S-1", "C-1", "h 1")).toBe("listed");
    expect(hardware("S-1", "C-1", "H-2")).toBe("unlisted");
    expect(hardware("S-1", "C-2", "H-2")).toBe("any");
    const without = smallUnit(
      [
        { name: "software", means: "software-number", holds: "S-1" },
        { name: "calibration", means: "calibration-number", holds: "C-1" },
      ],
      { releases },
    );
    expect(measureRelease(without, []).numbered[0]?.hardware).toBe("untold");
  });

  it("is asked of a build only where one was given and one is listed", () => {
    expect(measureRelease(unit("S-1", "C-1"), []).numbered[0]?.build).toBeUndefined();
    expect(measureRelease(unit("S-1", "C-2"), [], { market: "north" }).numbered[0]?.build).toMatchObject({
      fit: "other",
    });
  });
});

describe("a build", () => {
  const release = (...builds: object[]) => {
    const profile = loadProfile(
      JSON.stringify({
        profile: "assay.profile/1",
        id: "invented",
        title: "Invented",
        source: "invented",
        memory: {},
        regions: [{ name: "program", role: "program", over: [{ start: 0, length: 1 }] }],
        releases: [{ software: "S-1", builds }],
      }),
    );
    return profile.releases[0] as (typeof profile.releases)[number];
  };
  const two = release({ market: "north", engine: "E614" }, { market: ["south", "east"], gearbox: "G25" });

  it.each<[object, object]>([
    [{ market: "North", engine: " e614", gearbox: "G21" }, { fit: "fits" }],
    [{ market: "east", gearbox: "G25" }, { fit: "fits" }],
    [{ market: "north" }, { fit: "untold", missing: ["engine"] }],
    [{}, { fit: "untold", missing: ["market", "engine", "gearbox"] }],
    [{ engine: "E618" }, { fit: "untold", missing: ["market", "gearbox"] }],
    [
      { market: "north", engine: "E618", gearbox: "G21" },
      { fit: "other", differing: [{ name: "engine", wanted: "E618", listed: ["E614"] }] },
    ],
    [
      { market: "west", engine: "E614", gearbox: "G25" },
      { fit: "other", differing: [{ name: "market", wanted: "west", listed: ["north", "south", "east"] }] },
    ],
    [
      { market: "south", gearbox: "G-25" },
      { fit: "other", differing: [{ name: "gearbox", wanted: "G-25", listed: ["G25"] }] },
    ],
  ])("of %j: %j", (build, fit) => expect(buildFit(two, build as Record<string, string>)).toEqual(fit));

  it("cannot be told where the release names none", () => {
    expect(buildFit(release(), { market: "north" })).toEqual({ fit: "untold", missing: [] });
  });
});
