import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { loadProfile } from "../../src/profile/load.js";
import { askPair } from "../../src/questions/pair.js";
import { fileAt, fileOf } from "./files.js";

// What a profile says besides must never make an answer laxer, nor show what is an owner's. The workboat is invented.
const boat = new URL("../../../../test-vectors/workboat/", import.meta.url);
const document = JSON.parse(readFileSync(new URL("profile.json", boat), "utf8"));
const port = fileAt("left", "workboat/port.hex.gz").decoded.image.filled([{ start: 0, end: 0x40000 }], 0xff);
const bytesOf = {
  left: port.read({ start: 0, end: 0x40000 }) as Uint8Array,
  right: new Uint8Array(gunzipSync(readFileSync(new URL("starboard.bin.gz", boat)))),
};

interface Change {
  readonly regions?: readonly object[];
  readonly fields?: readonly object[];
  readonly rules?: readonly object[];
  readonly at?: number;
  readonly left?: readonly number[];
  readonly right?: readonly number[];
}

/** The pair of the boat with bytes of each side changed, under its profile with more in it. */
function pairWith({ regions = [], fields = [], rules = [], at = 0, left = [], right = [] }: Change) {
  const { pair, ...rest } = document;
  const profile = loadProfile(
    JSON.stringify({
      ...rest,
      regions: [...document.regions, ...regions],
      fields: [...document.fields, ...fields],
      pair: { ...pair, rules: [...rules, ...pair.rules] },
    }),
  );
  const changed = (side: "left" | "right", put: readonly number[]) => {
    const bytes = bytesOf[side].slice();
    bytes.set(put, at);
    return fileOf(side, bytes);
  };
  return askPair({
    left: changed("left", left),
    right: changed("right", right),
    profile,
    private: true,
    version: "0.0.0",
  });
}

it("is clear as it stands", () => {
  expect(pairWith({}).verdict).toBe("clear");
});

describe("a field that differs and that no rule judges", () => {
  it.each(["immobiliser", "side"])("is a difference of its region still: %s", (means) => {
    const { verdict, findings } = pairWith({
      fields: [{ name: "more", means, type: "hex", at: 0x39000, length: 4 }],
      at: 0x39000,
      left: [1, 2, 3, 4],
      right: [5, 6, 7, 8],
    });
    expect(verdict).toBe("review");
    expect(findings.map(({ code }) => code)).toContain("pair/spare-differs");
  });
});

describe("a group of bits that belongs to the unit", () => {
  const flag = {
    name: "flag",
    belongsTo: "unit",
    type: "unsigned",
    at: 0x39000,
    length: 1,
    bits: { from: 0, count: 2 },
    required: false,
  };
  it("explains a difference in its own bits", () => {
    expect(pairWith({ fields: [flag], at: 0x39000, left: [0x81], right: [0x82] }).verdict).toBe("clear");
  });

  it("explains none in the bits beside it", () => {
    const { verdict, differences } = pairWith({ fields: [flag], at: 0x39000, left: [0x01], right: [0x82] });
    expect(verdict).toBe("review");
    expect(differences?.find(({ start }) => start === 0x39000)?.explained).toBe(false);
  });
});

describe("a rule over what is an owner's", () => {
  const key = [...bytesOf.right.subarray(0x38c00, 0x38c08)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  it.each([
    { rule: "complement" },
    { rule: "per-side", values: { port: "00".repeat(8), starboard: "00".repeat(8) } },
    { rule: "reordered", element: 1, order: [7, 6, 5, 4, 3, 2, 1, 0] },
  ])("is broken without showing it: $rule", (rule) => {
    const report = pairWith({
      rules: [{ name: "key", over: [{ start: 0x38c00, length: 8 }], why: "invented", ...rule }],
    });
    const broken = report.findings.find(({ code }) => code === "pair/rule-broken");
    expect(broken?.expected).toBe("what the rule asks for, which is not shown");
    expect(JSON.stringify(report)).not.toContain(key.slice(0, 8));
  });
});

describe("a second region where another one lies", () => {
  // The byte at 0x38002 tells the market: the same in both units.
  const market = { name: "market-number", type: "unsigned", at: 0x38002, length: 1 };
  const is = bytesOf.left[0x38002] as number;
  const over = [{ start: 0x31000, length: 64 }];
  const told = (region: object) =>
    pairWith({ regions: [region], fields: [market] }).findings.flatMap(({ code, severity, detail }) =>
      code === "unit/bytes-described-twice" ? [`${severity}: ${detail}`] : [],
    );

  it("is asked about in each unit: as adaptation it would let a calibration differ", () => {
    const region = { name: "learnt", role: "adaptation", over, when: { field: market.name, is } };
    const twice =
      "review: 64 bytes from 0x00031000 on lie in region calibration (calibration) and in region learnt (adaptation)";
    expect(told(region)).toEqual([twice, twice]);
  });

  it("is found where a field computes its place", () => {
    const start = { field: market.name, plus: 0x31000 - is };
    expect(told({ name: "learnt", role: "adaptation", over: [{ start, length: 64 }] })).toHaveLength(2);
  });

  it("says nothing where its condition does not hold, or where both have one role", () => {
    expect(told({ name: "learnt", role: "adaptation", over, when: { field: market.name, is: 255 } })).toEqual([]);
    expect(told({ name: "more", role: "calibration", over, when: { field: market.name, is } })).toEqual([]);
  });
});

describe("a pairing that frees everything", () => {
  const told = (length: number) =>
    pairWith({
      rules: [{ name: "all", rule: "free", over: [{ start: 0, length }], why: "invented" }],
    }).findings.flatMap(({ code, severity, detail }) =>
      code === "pair/nothing-compared" ? [`${severity}: ${detail}`] : [],
    );

  it("holds nothing together, and is asked about", () => {
    // Boot, program, calibration and two regions of coding lie below 0x38800 in the profile.
    const why =
      "the profile lets every byte of boot, program, calibration and coding that both images hold be anything";
    expect(told(0x40000)).toEqual([`review: ${why} (${0x38800} bytes)`]);
  });

  it("is not meant where one of the regions that a unit needs is left", () => {
    expect(told(0x38000)).toEqual([]);
  });
});

describe("a second serial number that need not be there", () => {
  const second = { name: "second", means: "serial-number", type: "hex", at: 0x39000, length: 4, required: false };

  it("is not the same in both units while neither has one", () => {
    expect(pairWith({ fields: [second] }).verdict).toBe("clear");
  });

  it("is the same where both hold the same bytes", () => {
    const { verdict, findings } = pairWith({ fields: [second], at: 0x39000, left: [1, 2, 3, 4], right: [1, 2, 3, 4] });
    expect(verdict).toBe("stop");
    expect(findings.map(({ code }) => code)).toContain("pair/serial-number-same");
  });
});
