import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { measureChecksums } from "../../src/checksums/measure.js";
import { comparePair } from "../../src/compare/pair.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import { askPair } from "../../src/questions/pair.js";
import { describeUnit, fieldNamed } from "../../src/unit/unit.js";
import { checksumsOf, publishedProfile, rawImage, statusesOf, vectorFile } from "./published.js";

/**
 * Real identification blocks, from the collection of edid-decode (test-vectors/edid). The expected values were read by
 * that program; the digests are those of the files in its source package.
 */
const blocks: readonly (readonly [
  file: string,
  maker: string,
  product: number,
  serial: number,
  week: number,
  year: number,
  extensions: number,
  sha256: string,
])[] = [
  [
    "display-tile-0",
    "DEL",
    16711,
    808792652,
    32,
    2017,
    2,
    "c662cbb1c17ec2e27871ef740fda546b5788f110e8aa6f51c19267725deb0445",
  ],
  [
    "display-tile-1",
    "DEL",
    16711,
    808792652,
    32,
    2017,
    2,
    "9f1e551f4e4f2f390923a15524e766cd016a8d38b6efb6d643972d2710954b16",
  ],
  [
    "acer-xv273k-dp1",
    "ACR",
    1713,
    2231406419,
    50,
    2018,
    2,
    "3f3c426a1145db776c0e37c26fdf99917cbd839dba5f685ec417766f9e8a72ef",
  ],
  [
    "acer-xv273k-dp2",
    "ACR",
    1713,
    2231406419,
    50,
    2018,
    2,
    "16bf2f91f6043b22b571bfb36708df13762f7b13da053b5b78e19c845997c3ff",
  ],
  [
    "acer-xv273k-dp1-corrupted",
    "ACR",
    1713,
    2231406419,
    50,
    2018,
    2,
    "f6e32eac6903a458774ad55c465c1df7fece5c06f673f6f16936d49e81a4019f",
  ],
  [
    "dell-p2415q-dp",
    "DEL",
    41150,
    810306626,
    35,
    2016,
    1,
    "6133218bd8f06545c9f85856c54616245d6fc5571262de43ad38b28421825db4",
  ],
  [
    "dell-p2415q-hdmi2.0",
    "DEL",
    41157,
    810306626,
    35,
    2016,
    1,
    "453a163d9a660ba34c8f723c5bad87b3404c73278140dc4db7945eacfe8d1535",
  ],
  [
    "sharp-lc70uq17u-hdmi1",
    "SHP",
    4351,
    0,
    255,
    2014,
    1,
    "682168f63b0386334706a7a7535b9d4e8646250ac87a3c4a53cced04e8169a80",
  ],
  [
    "sharp-lc70uq17u-hdmi2",
    "SHP",
    4351,
    0,
    255,
    2014,
    1,
    "c065a237e9b6a4b6a71417d48729ce0a21b513206b37aa6da30cf5486eabb235",
  ],
  [
    "hp-lp2275w-dp",
    "HWP",
    10248,
    16843009,
    25,
    2008,
    0,
    "adba345b05733caef4205f6a53f515a912b40b2278285b098484a96f490fcf50",
  ],
];

const edid = publishedProfile("edid");
const tiles = publishedProfile("edid-two-tiles");
const block = (name: string) => vectorFile(`edid/${name}.bin`);

describe.each(blocks)("the display %s", (name, maker, product, serial, week, year, extensions, sha256) => {
  const bytes = block(name);
  const unit = describeUnit(rawImage(bytes, edid), edid);
  const number = (field: string) => {
    const reading = fieldNamed(unit, field);
    return reading && "number" in reading ? Number(reading.number) : undefined;
  };

  it("is the file that was collected", () => {
    expect(createHash("sha256").update(bytes).digest("hex")).toBe(sha256);
  });

  it("tells what it is", () => {
    const letters = ["makerFirst", "makerSecond", "makerThird"].map((field) =>
      String.fromCharCode(64 + (number(field) ?? 0)),
    );
    expect(letters.join("")).toBe(maker);
    expect(["product", "serial", "week", "extensionCount"].map(number)).toEqual([product, serial, week, extensions]);
    expect(1990 + (number("year") ?? 0)).toBe(year);
    expect(unit.fields.filter(({ status }) => status !== "read")).toEqual([]);
    expect(unit.regions.flatMap(({ spans }) => spans)).toEqual(
      extensions > 0
        ? [
            { start: 0, end: 128 },
            { start: 128, end: bytes.length },
          ]
        : [{ start: 0, end: 128 }],
    );
  });

  it("holds the sum of every block", () => {
    const names = ["base", ...Array.from({ length: extensions }, (_, i) => `extension-${i + 1}`)];
    expect(statusesOf(checksumsOf(bytes, edid))).toEqual(Object.fromEntries(names.map((sum) => [sum, "holds"])));
  });

  it("fails the sum of just that block in which a bit is changed", () => {
    for (let at = 0; at < bytes.length; at++) {
      if (at === 126) continue; // how many blocks there are
      const changed = bytes.slice();
      changed[at] = (changed[at] as number) ^ (1 << (at % 8));
      const failing = checksumsOf(changed, edid)
        .filter(({ status }) => status === "fails")
        .map((sum) => sum.name);
      expect(failing, `byte ${at}`).toEqual([at < 128 ? "base" : `extension-${Math.floor(at / 128)}`]);
    }
  });
});

describe("a block that is cut or says that there are more", () => {
  it("has extensions that are not known", () => {
    const cut = block("dell-p2415q-dp").subarray(0, 200);
    expect(statusesOf(checksumsOf(cut, edid))).toEqual({ base: "holds", "extension-1": "absent" });
    const more = block("hp-lp2275w-dp").slice();
    more[126] = 200;
    const statuses = statusesOf(checksumsOf(more, edid));
    expect(Object.keys(statuses)).toHaveLength(201);
    expect(new Set(Object.values(statuses))).toEqual(new Set(["fails", "absent"]));
  });
});

/** A raw file in its role, as the command line would hand it in. */
function inputOf(role: string, name: string, profile: Profile, bytes = block(name)) {
  const image = rawImage(bytes, profile);
  const sha256 = createHash("sha256").update(bytes).digest("hex");
  const decoded = { format: "raw" as const, image, findings: [], originOf: () => undefined };
  return { role, name, bytes: bytes.length, sha256, decoded };
}

describe("the two halves of one display", () => {
  const halves = ["display-tile-0", "display-tile-1"] as const;
  const unitOf = (name: string) => describeUnit(rawImage(block(name), tiles), tiles);
  const input = (role: string, name: string, bytes?: Uint8Array) => inputOf(role, name, tiles, bytes);
  const ask = (left: ReturnType<typeof input>, right: ReturnType<typeof input>) =>
    askPair({ left, right, profile: tiles, version: "0.0.0" });

  it.each(halves)("are read: %s", (name) => {
    const unit = unitOf(name);
    expect(unit.fields.filter(({ status }) => status !== "read")).toEqual([]);
    expect(statusesOf(measureChecksums(unit))).toEqual({
      base: "holds",
      "extension-1": "holds",
      "extension-2": "holds",
      "display-id": "holds",
    });
    const shown = Object.fromEntries(
      unit.fields.flatMap((field) => ("shown" in field ? [[field.field.name, field.shown]] : [])),
    );
    // As edid-decode prints them: two tiles, each 3840 by 4320 pixels, of one DEL display.
    expect(shown).toMatchObject({
      tileColumn: name.at(-1),
      tileWidth: "3839",
      tileHeight: "4319",
      topologyMaker: "DEL",
      oneEnclosure: "1",
    });
    expect([shown.topologyProduct, shown.topologySerial]).toEqual([shown.product, shown.serial]);
  });

  it("differ in two bytes, and both are explained", () => {
    const [left, right] = halves.map(unitOf) as [ReturnType<typeof unitOf>, ReturnType<typeof unitOf>];
    const sums = measureChecksums(left).map(({ name, storedAt, covered }) => ({
      name,
      storedAt: storedAt as NonNullable<typeof storedAt>,
      covered,
      holdsInBoth: true,
    }));
    const { pieces, sides } = comparePair(left, right, sums);
    expect(pieces.map(({ span, rule }) => [span.start, rule])).toEqual([
      [266, "pair/tile-position"],
      [382, "checksum/display-id"],
    ]);
    expect([sides.left, sides.right]).toMatchObject([{ side: "left" }, { side: "right" }]);
  });

  it("are a clear pair", () => {
    const report = ask(input("left", halves[0]), input("right", halves[1]));
    // The sums of the standard see no order of bytes.
    expect([...new Set(report.findings.map(({ code }) => code))]).toEqual(["checksum/order-unseen"]);
    expect(report.verdict).toBe("clear");
  });

  it("are none when both are the same half, when they are exchanged, or when another byte differs", () => {
    expect(ask(input("left", halves[0]), input("right", halves[0])).verdict).toBe("stop");
    expect(ask(input("left", halves[1]), input("right", halves[0])).verdict).not.toBe("clear");
    for (const at of [20, 140, 270, 267]) {
      const bytes = block(halves[1]).slice();
      bytes[at] = (bytes[at] as number) ^ 1;
      expect(ask(input("left", halves[0]), input("right", halves[1], bytes)).verdict, `byte ${at}`).toBe("stop");
    }
  });

  it("are none when the changed byte is balanced by another, so that all sums hold", () => {
    const bytes = block(halves[1]).slice();
    bytes[0x120] = (bytes[0x120] as number) + 1;
    bytes[0x130] = (bytes[0x130] as number) - 1;
    const right = input("right", halves[1], bytes);
    const report = ask(input("left", halves[0]), right);
    expect(new Set(report.images[1]?.checksums.map(({ status }) => status))).toEqual(new Set(["holds"]));
    expect(report.verdict).toBe("stop");
  });
});

describe("two blocks of one kind of display", () => {
  it("are no pair when the content of one is wrong, whatever its sums say", () => {
    const left = inputOf("left", "acer-xv273k-dp1", edid);
    const right = inputOf("right", "acer-xv273k-dp1-corrupted", edid);
    const report = askPair({ left, right, profile: edid, version: "0.0.0" });
    expect(new Set(report.images.flatMap(({ checksums }) => checksums.map(({ status }) => status)))).toEqual(
      new Set(["holds"]),
    );
    expect(report.verdict).toBe("stop");
    expect(report.findings.find(({ code }) => code === "pair/calibration-differs")?.detail).toContain("112 bytes");
  });
});
