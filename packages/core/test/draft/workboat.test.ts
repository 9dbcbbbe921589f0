import { beforeAll, describe, expect, it } from "vitest";
import { CHANGED, secondBoat, thirdBoat } from "../../../../test-vectors/build/workboat/fleet.js";
import { memoryOf, storeChecksums } from "../../../../test-vectors/build/workboat/unit.js";
import type { FoundChecksum } from "../../src/discover/result.js";
import { type Draft, draftProfile } from "../../src/draft/draft.js";
import { loadProfile } from "../../src/profile/load.js";
import { askCheck } from "../../src/questions/check.js";
import { askPair } from "../../src/questions/pair.js";
import { fileOf, profileAt } from "../questions/files.js";
import { bytesOf, fourReads, ranOn, readAgain, searched, sixReads, twoPairs } from "./boats.js";
import { scoreOf, shownScore } from "./score.js";

// The family is invented; what its units hold is the generator's, whose code shares nothing with the library. The true
// profile was written by hand beside it.
const truth = profileAt("workboat/profile.json");
const names = { id: "drafted", title: "drafted" };
let found: readonly FoundChecksum[];

beforeAll(() => {
  found = searched(fourReads);
}, 600_000);

const draftOf = {
  "two pairs": () => draftProfile(fourReads, { pairs: twoPairs }, found, names),
  "two pairs, two units read again": () => draftProfile(sixReads, { pairs: twoPairs, same: readAgain }, found, names),
} as const;

describe.each(Object.entries(draftOf))("drafted from %s", (name, make) => {
  let draft: Draft;
  beforeAll(() => {
    draft = make();
  });

  it("is a profile that holds together", () => {
    expect(loadProfile(JSON.stringify(draft.document))).toEqual(draft.profile);
    expect(draft.doubts).toEqual([]);
  });

  it("comes near the true profile, and nowhere lets pass what that does not", () => {
    const score = scoreOf(draft.profile, truth, fourReads[0]?.image as (typeof fourReads)[number]["image"]);
    console.log(`drafted from ${name}\n${shownScore(score)}`);
    expect(score.roles.right).toBeGreaterThan(0.95);
    expect(score.roles.laxer).toBe(0);
    expect(score.checksums).toEqual({
      found: ["boot-total", "program-crc", "calibration-crc", "coding-sum", "identity-sum"],
      missed: [],
      false: [],
    });
    expect(score.fields.found).toEqual(
      expect.arrayContaining([
        "hardwareNumber",
        "partNumber",
        "softwareNumber",
        "calibrationNumber",
        "serialNumber",
        "side",
        "build",
      ]),
    );
  });

  it("is at best review for the reads that it came from, and stops none", () => {
    for (const { name: read, image } of fourReads) {
      const bytes = image.segments[0]?.bytes as Uint8Array;
      const report = askCheck({ reads: [fileOf("read", bytes, read)], profile: draft.profile, version: "0.0.0" });
      expect([read, report.verdict]).toEqual([read, "review"]);
    }
  });

  // The fifth and sixth unit: a boat that the draft has not seen.
  const { port, starboard } = thirdBoat;
  const pair = (right: Uint8Array, left = bytesOf(port)) =>
    askPair({ left: fileOf("left", left), right: fileOf("right", right), profile: draft.profile, version: "0.0.0" });
  const stops = (right: Uint8Array) =>
    pair(right)
      .findings.filter(({ severity }) => severity === "stop")
      .map(({ code }) => code);

  it("stops nothing of a sound pair that it has not seen", () => {
    const report = pair(bytesOf(starboard));
    expect(report.findings.filter(({ severity }) => severity === "stop")).toEqual([]);
    expect(report.verdict).toBe("review");
    expect(report.differences?.filter(({ explained }) => !explained)).toEqual([]);
  });

  it("finds a byte of a setting that was changed, although the checksum was corrected", () => {
    const memory = memoryOf(starboard);
    memory.put(CHANGED, [(memory.bytes[CHANGED] as number) + 1]);
    storeChecksums(memory);
    const report = pair(memory.bytes);
    expect(report.verdict).toBe("stop");
    const finding = report.findings.find(({ code }) => code === "pair/calibration-differs");
    expect(finding?.where[0]).toMatchObject({ role: "right", start: CHANGED, length: 1 });
  });

  it.each<[string, (bytes: Uint8Array) => Uint8Array, string]>([
    ["a flipped bit of the program", (bytes) => changed(bytes, 0xc412, 0x10), "checksum/mismatch"],
    [
      "the software of another boat",
      () => bytesOf({ ...starboard, release: secondBoat.port.release }),
      "pair/software-number-differs",
    ],
    ["the coding of the other side", () => bytesOf({ ...starboard, side: "port" }), "pair/same-side"],
    ["a copy of the other unit", () => ranOn(port, "copied"), "pair/serial-number-same"],
    ["a trim that stands in the wrong place", (bytes) => repaired(bytes, 0x38433, 0x00), "pair/rule-broken"],
    ["another propeller pitch in one unit", (bytes) => repaired(bytes, 0x38023, 0x11), "pair/coding-differs"],
  ])("finds %s", (_fault, make, code) => {
    expect(stops(make(bytesOf(starboard)))).toContain(code);
  });
});

/** With these bits of one byte turned over. */
function changed(bytes: Uint8Array, at: number, bits: number): Uint8Array {
  const other = bytes.slice();
  other[at] = (other[at] as number) ^ bits;
  return other;
}

/** With one byte as `value` and every checksum right for it. */
function repaired(bytes: Uint8Array, at: number, value: number): Uint8Array {
  const memory = memoryOf(thirdBoat.starboard);
  memory.bytes.set(bytes);
  expect(bytes[at]).not.toBe(value);
  memory.put(at, [value]);
  storeChecksums(memory);
  return memory.bytes;
}

describe("without a search for checksums", () => {
  it("the parts are where the true profile has them, by erased memory and round addresses alone", () => {
    const draft = draftProfile(sixReads, { pairs: twoPairs, same: readAgain }, [], names);
    const score = scoreOf(draft.profile, truth, fourReads[0]?.image as (typeof fourReads)[number]["image"]);
    console.log(`drafted without a search\n${shownScore(score)}`);
    expect(score.roles.right).toBeGreaterThan(0.95);
    expect(score.roles.laxer).toBe(0);
    expect(score.checksums.found).toEqual(["coding-sum", "identity-sum"]);
    expect(score.checksums.false).toEqual([]);
  });
});

describe("what is told of the reads", () => {
  it("without pairs there is no rule of a side, nor a side", () => {
    const draft = draftProfile(fourReads, {}, found, names);
    expect(draft.document.pair).toBeUndefined();
    expect(draft.profile.fields.filter(({ means }) => means === "side")).toEqual([]);
    expect(draft.next.map(({ read }) => read)).toContain("both units of one machine");
  });

  it("with one pair every rule is marked", () => {
    const { profile } = draftProfile(fourReads.slice(0, 2), { pairs: [[0, 1]] }, found, names);
    expect(profile.pair?.rules.length).toBeGreaterThan(3);
    for (const rule of profile.pair?.rules ?? []) expect(rule).toHaveProperty("unconfirmed");
    expect(profile.pair?.sides).toHaveProperty("unconfirmed");
  });

  it("without a unit read twice nothing is said to change by itself", () => {
    const { profile } = draftProfile(fourReads, { pairs: twoPairs }, found, names);
    expect(profile.volatile).toEqual([]);
    expect(profile.regions.filter(({ role }) => role === "adaptation" || role === "faults")).toEqual([]);
  });
});
