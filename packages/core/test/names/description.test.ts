import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { recomputeChecksums } from "../../src/checksums/recompute.js";
import { Image } from "../../src/image/image.js";
import { readMeasurementDescription } from "../../src/names/description.js";
import { NameIndex } from "../../src/names/place.js";
import { loadProfile } from "../../src/profile/load.js";
import { askPair } from "../../src/questions/pair.js";
import { askReadback } from "../../src/questions/readback.js";
import { content } from "../checksums/measured.js";
import { randomFrom, seed } from "../reference/random.js";

// test-vectors/names/workboat.a2l: made after the structure of ASAM MCD-2 MC 1.6; see test-vectors/README.md.
const text = readFileSync(new URL("../../../../test-vectors/names/workboat.a2l", import.meta.url), "utf8");
const description = readMeasurementDescription(text);
const index = new NameIndex(description);
const at = (start: number, length = 1) => index.placesIn({ start, end: start + length }).places;

describe("a measurement description", () => {
  it("says what marks the software, and which memory there is", () => {
    expect(description).toMatchObject({
      project: "Workboat",
      identifier: { text: "WB-ENGINE-1", addresses: [0x30000] },
      order: "big",
    });
    expect(description.segments).toEqual([
      { name: "Code", purpose: "CODE", memory: "FLASH", span: { start: 0x4000, end: 0x30000 } },
      { name: "Cal", purpose: "CALIBRATION_VARIABLES", memory: "FLASH", span: { start: 0x30000, end: 0x38000 } },
    ]);
  });

  it("gives each object its place and size", () => {
    const spans = description.objects.map(({ name, kind, span }) => [name, kind, span.start, span.end - span.start]);
    expect(spans).toEqual([
      ["IdleSpeed", "value", 0x31000, 2],
      ["InjectionMap", "map", 0x31100, 96], // 8 points by 6 points of two bytes
      ["BoostMap", "map", 0x31200, 96],
      ["TorqueCurve", "curve", 0x31300, 32], // number, ten points of two bytes, ten values
      ["Trims", "block", 0x31400, 12],
      ["Label", "text", 0x31500, 16],
      ["Odd", "value", 0x31600, 1],
      ["SpeedAxis", "axis", 0x31700, 16],
    ]);
    expect(description.leftOut).toEqual([
      "1 objects whose place is not understood, the first in line 44",
      "the size of 1 objects: their first byte is named",
    ]);
  });

  it("names rows, columns, values and points, counted from 1", () => {
    expect(at(0x31001)).toEqual([{ name: "IdleSpeed", kind: "value", part: undefined }]);
    expect(at(0x31100 + 2 * 16, 40)).toEqual([
      { name: "InjectionMap", kind: "map", part: { what: "rows", first: 3, last: 5 } },
    ]);
    expect(at(0x31200 + 12)[0]?.part).toEqual({ what: "columns", first: 2, last: 2 });
    expect(at(0x31400 + 11)[0]?.part).toEqual({ what: "values", first: 12, last: 12 });
    expect(at(0x31700 + 15)[0]).toMatchObject({ name: "SpeedAxis", part: { what: "axis-x", first: 8, last: 8 } });
    expect(at(0x31800)).toEqual([]);
    expect(at(0x31000, 0x800).map(({ name }) => name)).toHaveLength(8);
  });

  it.each([
    [
      "an end that is missing",
      text.replace("/end MODULE", ""),
      /expected \/end MODULE \(its \/begin is in line 4\), got \/end PROJECT/,
    ],
    ["an end without a beginning", "/end PROJECT", /line 1: expected a \/begin before each \/end/],
    ["a text that ends inside a block", text.slice(0, 2000), /expected an \/?end/],
    ["a string without an end", '/begin PROJECT a "b', /expected an end of each string/],
    ["a comment without an end", "/* a", /expected an end of each comment/],
    ["a depth of a thousand", "/begin A ".repeat(1000), /expected at most 64 levels/],
    ["a word of a megabyte", "a".repeat(2 ** 20), /expected words of at most/],
    ["a block of a million words", `/begin MOD_PAR ${"a ".repeat(2 ** 20)}`, /expected at most 10000 words/],
  ])("with %s is refused, and says in which line", (_name, broken, message) => {
    expect(() => readMeasurementDescription(broken)).toThrow(message);
  });

  it("passes over vendor sections by their /begin and /end alone, and says which files it does not read", () => {
    const vendor = `/begin IF_DATA X ${"/begin Y 1 /end Y ".repeat(10_000)} /end IF_DATA`;
    expect(readMeasurementDescription(text.replace("/end MOD_PAR", `${vendor} /end MOD_PAR`)).objects).toHaveLength(8);
    expect(readMeasurementDescription(`${text}\n/include "more.aml"`).leftOut[0]).toContain("more.aml");
    for (const other of ["", "{}"]) {
      expect(() => readMeasurementDescription(other)).toThrow(/expected a measurement description/);
    }
  });

  it(`of any text is read or refused (seed ${seed})`, () => {
    const random = randomFrom(seed);
    const words = text.split(/\s+/);
    for (let round = 0; round < 500; round++) {
      const mixed = Array.from({ length: 60 }, () => words[random.below(words.length)]).join(" ");
      try {
        readMeasurementDescription(mixed);
      } catch (error) {
        expect((error as { code?: string }).code).toBe("names/invalid");
      }
    }
  });

  it("of many objects over each other costs no more than their number for each difference", () => {
    const objects = Array.from({ length: 100_000 }, (_, i) => ({
      name: `n${i}`,
      kind: "block" as const,
      span: { start: i, end: 2 ** 24 },
      sized: true,
      parts: [],
      counts: [],
    }));
    const many = new NameIndex({ objects });
    // Each of them looked at whole would be 2000 times a hundred thousand.
    for (let i = 0; i < 2000; i++)
      expect(many.placesIn({ start: 2 ** 20 + i, end: 2 ** 20 + i + 1 }).places).toHaveLength(16);
  });
});

describe("a report with names", () => {
  const mark = new TextEncoder().encode("WB-ENGINE-1");
  const image = (change?: number, identifier = mark) => {
    const bytes = content(0x8000);
    bytes.set(identifier);
    if (change !== undefined) bytes[change - 0x30000] = (bytes[change - 0x30000] as number) ^ 1;
    return Image.of([{ address: 0x30000, bytes }]);
  };
  const input = (role: string, held: Image) => ({
    role,
    name: `${role}.bin`,
    bytes: 0x8000,
    sha256: role.length.toString(16).padStart(64, "0"),
    decoded: { format: "raw" as const, image: held, findings: [], originOf: () => undefined },
  });
  const pairOf = (left: Image, right: Image) => {
    const inputs = [input("left", left), input("right", right)] as const;
    const request = { left: inputs[0], right: inputs[1], version: "0" };
    const given = { ...request, names: { file: "boat.a2l", description } };
    return { plain: askPair(request), named: askPair(given), masked: askPair({ ...given, private: true }) };
  };

  it("carries them at its differences, and its verdict is the same", () => {
    const { plain, named } = pairOf(image(), image(0x31100 + 33));
    expect(named.verdict).toBe(plain.verdict);
    expect(named.differences).toMatchObject([
      { start: 0x31121, names: [{ name: "InjectionMap", kind: "map", part: { what: "rows", first: 3, last: 3 } }] },
    ]);
    expect(named.names).toMatchObject({
      identifier: "WB-ENGINE-1",
      used: true,
      images: [
        { role: "left", fits: true },
        { role: "right", fits: true },
      ],
    });
  });

  it("carries none when one image is of other software, and asks for a review", () => {
    const { plain, named } = pairOf(image(), image(0x31121, new TextEncoder().encode("WB-ENGINE-2")));
    expect(named.names).toMatchObject({ used: false, images: [{ fits: true }, { fits: false }] });
    expect(named.differences?.some(({ names }) => names)).toBe(false);
    expect(named.findings.slice(plain.findings.length)).toMatchObject([
      {
        code: "names/other-software",
        severity: "review",
        expected: "WB-ENGINE-1",
        found: "WB-ENGINE-2",
        where: [{ role: "right", start: 0x30000, length: 11 }],
      },
    ]);
    expect(named.checks.slice(-2)).toMatchObject([
      { rule: "names/of-this-software", subject: "left", outcome: "pass" },
      { rule: "names/of-this-software", subject: "right", outcome: "unknown" },
    ]);
  });

  it("shows nothing of what stands there instead where that is asked", () => {
    const { named, masked } = pairOf(image(), image(0x31121, new TextEncoder().encode("serial 4711")));
    expect(JSON.stringify(named)).toContain("serial 4711");
    const told = JSON.stringify(masked);
    expect(told).toContain("names/other-software");
    expect(told).not.toContain("4711");
  });

  it("keeps what was meant and what was read back from being clear when it is of other software", () => {
    const profile = loadProfile(
      JSON.stringify({
        profile: "assay.profile/1",
        id: "invented",
        title: "Invented unit",
        source: "invented",
        memory: { base: 0x30000, size: 0x8000 },
        regions: [{ name: "all", role: "calibration", over: [{ start: 0x30000, length: 0x8000 }] }],
        checksums: [
          {
            name: "all",
            algorithm: "CRC-32/ISO-HDLC",
            over: [{ start: 0x30000, end: 0x37ffc }],
            stored: { at: 0x37ffc, order: "big" },
          },
        ],
      }),
    );
    const { image: sound } = recomputeChecksums(image(), profile);
    const ask = (identifier: string, raise: typeof profile.raise = {}) => {
      const marked = { ...description, identifier: { text: identifier, addresses: [0x30000] } };
      const [intended, read] = [input("intended", sound), input("readback", sound)];
      return askReadback({
        intended,
        read: { ...read, sha256: "2".padStart(64, "0") },
        profile: { ...profile, confirmed: true, raise },
        names: { file: "boat.a2l", description: marked },
        version: "0",
      });
    };
    expect(ask("WB-ENGINE-1").verdict).toBe("clear");
    expect(ask("WB-ENGINE-2").verdict).toBe("review");
    expect(ask("WB-ENGINE-2", { "names/other-software": "stop" }).verdict).toBe("stop");
  });

  it("says that it cannot tell where the image is not known", () => {
    const high = Image.of([{ address: 0x31000, bytes: content(0x100) }]);
    const { plain, named } = pairOf(high, high);
    expect(named.names?.images).toMatchObject([{ fits: null }, { fits: null }]);
    expect(named.findings.slice(plain.findings.length).map(({ code }) => code)).toEqual([
      "names/software-untold",
      "names/software-untold",
    ]);
    expect(named.verdict).toBe(plain.verdict);
  });
});
