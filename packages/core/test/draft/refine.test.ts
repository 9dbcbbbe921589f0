import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import type { FoundChecksum } from "../../src/discover/result.js";
import { type Draft, draftProfile } from "../../src/draft/draft.js";
import type { OldProfile } from "../../src/draft/refine.js";
import { loadProfile } from "../../src/profile/load.js";
import type { ProfileDocument } from "../../src/profile/schema/profile.js";
import { fourReads, readAgain, searched, sixReads, twoPairs } from "./boats.js";

// The true profile of the invented workboat, written by hand, held against reads of its units: right as it is, and with
// one statement made wrong at a time.
const text = readFileSync(new URL("../../../../test-vectors/workboat/profile.json", import.meta.url), "utf8");
const names = { id: "drafted", title: "drafted" };
let found: readonly FoundChecksum[];

beforeAll(() => {
  found = searched(fourReads, 3);
}, 600_000);

type Changes = (document: ProfileDocument) => void;
function old(change: Changes = () => {}): OldProfile {
  const document = JSON.parse(text) as ProfileDocument;
  change(document);
  return { document, profile: loadProfile(JSON.stringify(document)) };
}
const refine = (change?: Changes): Draft =>
  draftProfile(sixReads, { pairs: twoPairs, same: readAgain }, found, names, old(change));
const against = (draft: Draft) => (draft.held ?? []).filter(({ contradictions }) => contradictions.length > 0);

describe("a profile that is right", () => {
  it("is supported in every statement, and comes out as it went in", () => {
    const draft = refine();
    expect(against(draft)).toEqual([]);
    expect(draft.held?.every(({ supported, of }) => supported === of)).toBe(true);
    expect(draft.held?.length).toBeGreaterThan(45);
    expect(draft.added).toEqual([]);
    expect(draft.document).toEqual(JSON.parse(text));
  });
});

/** The statement that `change` makes wrong, and what is said of it. */
const wrongs: Readonly<Record<string, readonly [Changes, string, RegExp]>> = {
  "another size of memory": [
    (d) => Object.assign(d.memory, { size: ["128K", "512K"] }),
    "memory",
    /expected 131072 or 524288 bytes/,
  ],
  "another checksum": [
    (d) => Object.assign(d.checksums?.[1] as object, { algorithm: "CRC-32/BZIP2" }),
    "checksums[1]",
    /stores .* would hold/,
  ],
  "another form of a number": [
    (d) => Object.assign(d.fields?.[0] as object, { pattern: "WB41-[0-9]{4}-[A-Z]" }),
    "fields[0]",
    /WB40-2170-C: it does not match/,
  ],
  "a serial number that two units share": [
    (d) => Object.assign(d.fields?.[0] as object, { means: "serial-number" }),
    "fields[0]",
    /as in first-port, which is another unit/,
  ],
  "coding that changes by itself": [
    (d) => Object.assign(d.regions[8] as object, { role: "coding" }),
    "regions[8]",
    /differ from another read of the same unit/,
  ],
  "the sides the wrong way round": [
    (d) => Object.assign(d.pair?.sides as object, { values: { port: "S", starboard: "P" } }),
    "pair.sides",
    /expected port and starboard, got starboard and port/,
  ],
  "another order of the cylinders": [
    (d) => Object.assign(d.pair?.rules?.[3] as object, { order: [5, 4, 3, 2, 1, 0] }),
    "pair.rules[3]",
    /expected .*, got /,
  ],
};

describe.each(Object.entries(wrongs))("a profile that says %s", (_name, [change, path, says]) => {
  it("is contradicted there, with the read and the place, and marked", () => {
    const draft = refine(change);
    const held = against(draft).find((one) => one.path === path);
    expect(held?.contradictions[0]?.what).toMatch(says);
    expect(held?.contradictions[0]?.reads.length).toBeGreaterThan(0);
    const mark = draft.unconfirmed.find((one) => one.path === path);
    expect(mark?.why).toMatch(/^contradicted by \d of \d (read|pair)s?, first /);
  });
});

describe("a profile that lacks something", () => {
  it("gets a checksum, a number and a region from the reads, to be confirmed, and keeps the rest", () => {
    const draft = refine((document) => {
      document.checksums = (document.checksums ?? []).filter(({ name }) => name !== "coding-sum");
      document.fields = (document.fields ?? []).filter(({ name }) => name !== "serialNumber");
      document.pair = {
        ...document.pair,
        rules: (document.pair?.rules ?? []).filter(({ name }) => name !== "own-serial"),
      };
      document.regions = document.regions.filter(({ name }) => name !== "immobiliser");
      document.pair.rules = document.pair.rules?.filter(({ name }) => name !== "own-key");
      document.donor = undefined;
    });
    expect(draft.added).toEqual(
      expect.arrayContaining(["region immobiliser", "field serial-number", expect.stringMatching(/^checksum /)]),
    );
    const { checksums, fields, regions } = draft.profile;
    expect(checksums.at(-1)).toMatchObject({ algorithm: "sum16-be", stored: { at: 0x383fe } });
    expect(fields.at(-1)).toMatchObject({ at: 0x38820, means: "serial-number", unconfirmed: expect.any(String) });
    expect(regions.at(-1)).toMatchObject({ role: "immobiliser", unconfirmed: expect.any(String) });
    expect(fields.slice(0, -1)).toEqual(loadProfile(text).fields.filter(({ name }) => name !== "serialNumber"));
  });

  it("gets the rules of differences that it leaves open, with the names of its own sides", () => {
    const draft = refine((document) => {
      document.pair = {
        ...document.pair,
        rules: (document.pair?.rules ?? []).filter(({ rule }) => rule !== "per-side" && rule !== "complement"),
      };
      document.pair.sides = { left: "port", right: "starboard" };
    });
    const side = draft.profile.pair?.rules.find(({ rule }) => rule === "per-side");
    expect(side).toMatchObject({ values: { port: expect.any(String), starboard: expect.any(String) } });
    expect(draft.profile.pair?.sides).toMatchObject({ left: "port", right: "starboard" });
  });
});

describe("a draft, refined", () => {
  it("keeps every mark and says how many pairs support what is marked", () => {
    const first = draftProfile(fourReads.slice(0, 2), { pairs: [[0, 1]] }, found, names);
    const draft = draftProfile(fourReads, { pairs: twoPairs }, found, names, first);
    const marks = new Map(draft.unconfirmed.map(({ path, why }) => [path, why]));
    for (const { path, why } of first.unconfirmed) expect(marks.get(path)?.startsWith(why)).toBe(true);
    const rules = draft.held?.filter(({ path }) => path.startsWith("pair.rules")) ?? [];
    expect(rules.filter(({ supported, of }) => supported === 2 && of === 2).length).toBeGreaterThan(3);
  });

  it("adds to what a mark says what contradicts it", () => {
    const draft = refine((document) => {
      Object.assign(document.checksums?.[1] as object, { algorithm: "CRC-32/BZIP2", unconfirmed: "a guess" });
    });
    expect(draft.unconfirmed).toMatchObject([
      { path: "checksums[1]", why: expect.stringMatching(/^a guess; contradicted by 6 of 6 reads/) },
    ]);
  });
});
