import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { type Draft, draftProfile } from "../../src/draft/draft.js";
import { askCheck } from "../../src/questions/check.js";
import { askPair } from "../../src/questions/pair.js";
import { fileOf } from "../questions/files.js";
import { readRealImage, realImagesPresent } from "../real-images.js";
import { readOf, searched } from "./boats.js";

const names = { id: "drafted", title: "drafted" };
const check = (draft: Draft, bytes: Uint8Array) =>
  askCheck({ reads: [fileOf("read", bytes)], profile: draft.profile, version: "0.0.0" });

// Identification blocks of real displays (collection of edid-decode, Debian source package). VESA E-EDID, release A.2
// (from memory): every block has 128 bytes, of which the last makes the sum of all 0.
describe("identification blocks of nine displays", () => {
  const displays = [
    "acer-xv273k-dp1",
    "acer-xv273k-dp2",
    "dell-p2415q-dp",
    "dell-p2415q-hdmi2.0",
    "display-tile-0",
    "display-tile-1",
    "hp-lp2275w-dp",
    "sharp-lc70uq17u-hdmi1",
    "sharp-lc70uq17u-hdmi2",
  ];
  const bytesOf = (name: string) =>
    new Uint8Array(readFileSync(new URL(`../../../../test-vectors/edid/${name}.bin`, import.meta.url)));
  const base = (name: string) => bytesOf(name).slice(0, 128);
  let draft: Draft;
  beforeAll(() => {
    const reads = displays.map((name) => readOf(name, base(name)));
    draft = draftProfile(reads, {}, searched(reads, 60, 8), names);
  }, 300_000);

  it("have the checksum of the standard, and no other", () => {
    const { checksums, regions } = draft.profile;
    expect(checksums).toMatchObject([{ algorithm: "sum8", stored: { at: 127 } }]);
    expect(regions).toMatchObject([{ over: [{ start: 0, end: 128 }] }]);
    // A sum of bytes that comes to nothing does not say which of them makes it so.
    expect(draft.profile.checksums[0]).toHaveProperty("unconfirmed", expect.stringContaining("not which of 2 words"));
  });

  it.each(displays)("%s: review, and a stop when any of its bytes is another one", (name) => {
    const bytes = base(name);
    expect(check(draft, bytes).verdict).toBe("review");
    for (let at = 0; at < bytes.length; at += 9) {
      const other = bytes.slice();
      other[at] = (other[at] as number) ^ 0x21;
      expect(check(draft, other).findings.map(({ code }) => code)).toContain("checksum/mismatch");
    }
  });

  it("with an extension block have two checksums, and not the sum of both", () => {
    const reads = ["dell-p2415q-dp", "dell-p2415q-hdmi2.0", "sharp-lc70uq17u-hdmi1", "sharp-lc70uq17u-hdmi2"].map(
      (name) => readOf(name, bytesOf(name)),
    );
    const { profile } = draftProfile(reads, {}, searched(reads, 60, 8), names);
    expect(profile.checksums.map(({ stored }) => stored.at)).toEqual([127, 255]);
    expect(profile.regions.map(({ over }) => over)).toEqual([[{ start: 0, end: 128 }], [{ start: 128, end: 256 }]]);
  });

  // The two halves of one tiled display differ in the position that each states of itself, byte 266 of three blocks, and
  // in byte 382, a sum within the third block (DisplayID) that no search of so few reads can tell: cmp.
  it("of the two halves of one display: what differs is a rule to confirm, and the pair is not stopped", () => {
    const tiles = ["display-tile-0", "display-tile-1"];
    const reads = [...tiles, "acer-xv273k-dp1", "acer-xv273k-dp2"].map((name) => readOf(name, bytesOf(name)));
    const { profile } = draftProfile(reads, { pairs: [[0, 1]] }, searched(reads, 60, 8), names);
    const open = { rule: "per-side", unconfirmed: expect.stringMatching(/one pair only/) };
    expect(profile.pair?.rules).toMatchObject([
      { ...open, over: [{ start: 266, end: 267 }] },
      { ...open, over: [{ start: 382, end: 383 }] },
    ]);
    const [left, right] = tiles.map((name, i) => fileOf(i === 0 ? "left" : "right", bytesOf(name)));
    const ask = (other = right) =>
      askPair({
        left: left as NonNullable<typeof left>,
        right: other as NonNullable<typeof other>,
        profile,
        version: "0",
      });
    expect(ask().verdict).toBe("review");
    const changed = bytesOf("display-tile-1");
    changed[140] = (changed[140] as number) ^ 1;
    changed[255] = ((changed[255] as number) + ((changed[140] as number & 1) ? 255 : 1)) & 255;
    expect(ask(fileOf("right", changed)).verdict).toBe("stop");
  });
});

// C-BIOS 0.29a, Debian package cbios: open firmware in three generations for four countries.
describe.runIf(realImagesPresent)("twelve real ROMs of three generations", () => {
  const generations = ["msx1", "msx2", "msx2+"];
  const roms = generations.flatMap((generation) =>
    ["", "_br", "_eu", "_jp"].map((country) => `${generation}${country}`),
  );
  const reads = roms.map((name) =>
    readOf(name, readRealImage(`deb/cbios_0.29a-1.1/usr/share/cbios/cbios_main_${name}.rom`)),
  );
  const draft = realImagesPresent ? draftProfile(reads, {}, [], names) : undefined;

  it("are told apart by their software, not by their country", () => {
    expect(draft?.family.units.map(({ release }) => release)).toEqual([1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3]);
  });

  it("have no byte with content in a role that lets it pass", () => {
    const lax = (draft?.profile.regions ?? []).filter(({ role }) => !["program", "coding"].includes(role));
    expect(lax.every(({ role }) => role === "spare")).toBe(true);
    for (const { image } of reads) {
      for (const { over } of lax) {
        const [{ start, end } = { start: 0, end: 0 }] = over as { start: number; end: number }[];
        expect(image.read({ start, end })?.every((byte) => byte === 0)).toBe(true);
      }
    }
  });

  it("are none of them stopped, and none is clear", () => {
    for (const { image } of reads) {
      expect(check(draft as Draft, image.segments[0]?.bytes as Uint8Array).verdict).toBe("review");
    }
  });
});
