import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { measureChecksums } from "../../src/checksums/measure.js";
import { fingerprintOf } from "../../src/fingerprint/fingerprint.js";
import { fingerprintParts } from "../../src/fingerprint/parts.js";
import { decode } from "../../src/formats/decode.js";
import { measureRelease } from "../../src/identity/release.js";
import { loadProfile } from "../../src/profile/load.js";
import type { Build, Release } from "../../src/profile/schema/release.js";
import { machineReleaseRules, releaseRules } from "../../src/rules/release.js";
import { ask } from "../../src/rules/rule.js";
import { describeUnit, fieldOfMeaning, type Unit } from "../../src/unit/unit.js";

const folder = new URL("../../../../test-vectors/workboat/", import.meta.url);
const profile = loadProfile(readFileSync(new URL("profile.json", folder), "utf8"));

function unitOf(name: string, releases: readonly Release[]): Unit {
  const { image } = decode(gunzipSync(readFileSync(new URL(`${name}.gz`, folder))));
  return describeUnit(image, { ...profile, releases: [...releases] });
}

function fingerprintsOf(unit: Unit) {
  const stored = measureChecksums(unit).flatMap(({ storedAt }) => (storedAt ? [storedAt] : []));
  return fingerprintParts(unit, stored).flatMap((part) => {
    const result = fingerprintOf(unit.image, part);
    return result.kind === "computed" ? [result.fingerprint] : [];
  });
}

/** The release that `name` holds, as somebody would list it who knows that unit to be right. */
function releaseOf(name: string, build: Build): Release {
  const unit = unitOf(name, []);
  const number = (meaning: "software-number" | "calibration-number" | "hardware-number") => {
    const reading = fieldOfMeaning(unit, meaning);
    return reading && "shown" in reading ? reading.shown : "";
  };
  const own = fingerprintsOf(unit).filter(({ part }) => part === "program" || part === "calibration");
  return {
    software: number("software-number"),
    calibration: number("calibration-number"),
    fingerprints: Object.fromEntries(own.map(({ part, digest }) => [part, [digest]])),
    recipes: Object.fromEntries(own.map(({ part, recipe }) => [part, [recipe]])),
    builds: [build],
    supersedes: [],
    hardware: [number("hardware-number")],
  };
}

/** What the rules say of the unit in `name` on a boat for the north. */
function codesOf(name: string, releases: readonly Release[]): string[] {
  const unit = unitOf(name, releases);
  const reading = measureRelease(unit, fingerprintsOf(unit), { market: "north" });
  const checks = [
    ...ask(releaseRules, name, reading),
    ...ask(machineReleaseRules, name, { reading, build: "given", wanted: undefined }),
  ];
  return checks.flatMap(({ judgement }) =>
    ("findings" in judgement ? (judgement.findings ?? []) : []).map(({ code }) => code),
  );
}

describe("the workboat's units against listed releases", () => {
  const north = releaseOf("port.hex", { market: "north" });
  const both = [north, releaseOf("starboard-other-build.bin", { market: "south" })];

  it.each(["port.hex", "starboard.bin", "starboard-clone.bin"])(
    "finds nothing in %s: right number, content and build",
    (name) => expect(codesOf(name, both)).toEqual([]),
  );

  it("does not take a part for the release's that the release says nothing of", () => {
    const only = (...parts: string[]) => {
      const of = (all: Readonly<Record<string, string[]>>) =>
        Object.fromEntries(Object.entries(all).filter(([part]) => parts.includes(part)));
      return { ...north, fingerprints: of(north.fingerprints), recipes: of(north.recipes) };
    };
    expect(codesOf("port.hex", [only("calibration")])).toEqual(["release/parts-unlisted"]);
    expect(codesOf("port.hex", [only("program")])).toEqual(["release/parts-unlisted"]);
    expect(codesOf("port.hex", [only("program"), north])).not.toContain("release/parts-unlisted");
    const whole = fingerprintsOf(unitOf("port.hex", [])).find(({ part }) => part === "whole");
    const ofWhole = { ...north, fingerprints: { whole: [whole?.digest ?? ""] }, recipes: {} };
    expect(codesOf("port.hex", [ofWhole])).toEqual([]);
  });

  it("finds the unit that was swapped in years ago, consistent as it is in itself", () => {
    expect(codesOf("starboard-other-build.bin", both)).toEqual(["release/other-build"]);
  });

  it("does not know a release that is not listed", () => {
    expect(codesOf("starboard-other-build.bin", [north])).toEqual(["release/unknown"]);
  });

  it("finds a single byte that is not as it was released", () => {
    expect(codesOf("starboard-one-byte.bin", both)).toContain("release/content-changed");
  });

  it("cannot tell the release of a read that was cut", () => {
    expect(codesOf("starboard-short.bin", both)).not.toEqual([]);
  });
});
