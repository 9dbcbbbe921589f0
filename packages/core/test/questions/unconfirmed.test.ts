import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { loadProfile } from "../../src/profile/load.js";
import { unconfirmedIn } from "../../src/profile/unconfirmed.js";
import { askCheck } from "../../src/questions/check.js";
import { askDonor } from "../../src/questions/donor.js";
import { askPair } from "../../src/questions/pair.js";
import { askReadback } from "../../src/questions/readback.js";
import { fileAt } from "./files.js";

// Every statement that can be marked, marked one by one in the profile of the invented workboat, whose pair is clear.
const text = readFileSync(new URL("../../../../test-vectors/workboat/profile.json", import.meta.url), "utf8");
type Statement = { unconfirmed?: string };
interface Document {
  memory: Statement;
  regions: Statement[];
  fields: Statement[];
  checksums: Statement[];
  volatile?: object[];
  pair: { sides: Statement; rules: Statement[] };
}

const places: Readonly<Record<string, (document: Document) => Statement>> = {
  memory: ({ memory }) => memory,
  "region program": ({ regions }) => regions[1] as Statement,
  "field hardwareNumber": ({ fields }) => fields[0] as Statement,
  "checksum calibration-crc": ({ checksums }) => checksums[2] as Statement,
  "the sides": ({ pair }) => pair.sides,
  "pairing rule own-faults": ({ pair }) => pair.rules.at(-1) as Statement,
  "volatile part 1": (document) => {
    const part = { over: [{ region: "adaptation" }], why: "it learns" } as Statement;
    document.volatile = [part];
    return part;
  },
};

function marked(mark: (document: Document) => Statement) {
  const document = JSON.parse(text) as Document;
  mark(document).unconfirmed = "two reads only";
  return loadProfile(JSON.stringify(document));
}

const port = fileAt("left", "workboat/port.hex.gz");
const starboard = fileAt("right", "workboat/starboard.bin.gz");

describe.each(Object.entries(places))("%s, unconfirmed", (statement, place) => {
  it("is named, once for each unit, and keeps a clear pair from being clear", () => {
    const profile = marked(place);
    expect(unconfirmedIn(profile)).toEqual([expect.objectContaining({ statement, why: "two reads only" })]);
    const report = askPair({ left: port, right: starboard, profile, version: "0.0.0" });
    expect(report.verdict).toBe("review");
    const said = report.findings.filter(({ code }) => code === "unit/statements-unconfirmed");
    expect(said.map(({ severity, where }) => [severity, where])).toEqual([
      ["review", []],
      ["review", []],
    ]);
    expect(said[0]?.detail).toContain(statement);
    expect(report.findings.filter(({ severity }) => severity !== "note")).toEqual(said);
  });
});

describe("a profile with an unconfirmed region", () => {
  const profile = marked(places["region program"] as (typeof places)[string]);

  it("is at best review in every question", () => {
    const reports = [
      askCheck({ reads: [{ ...port, role: "read" }], profile, version: "0.0.0" }),
      askReadback({
        intended: { ...port, role: "intended" },
        read: fileAt("read", "workboat/readback-good.bin.gz"),
        profile,
        version: "0.0.0",
      }),
      askDonor({
        source: { ...starboard, role: "source" },
        donor: fileAt("donor", "workboat/donor-same.s19.gz"),
        twin: { ...port, role: "twin" },
        profile,
        version: "0.0.0",
      }).report,
    ];
    for (const { verdict, findings } of reports) {
      expect(verdict).toBe("review");
      expect(findings.map(({ code }) => code)).toContain("unit/statements-unconfirmed");
    }
  });

  it("still stops what it contradicts", () => {
    const other = fileAt("right", "workboat/starboard-one-byte.bin.gz");
    expect(askPair({ left: port, right: other, profile, version: "0.0.0" }).verdict).toBe("stop");
  });
});

it("names the first dozen of many and counts the rest", () => {
  const document = JSON.parse(text) as Document;
  for (const one of [...document.regions, ...document.fields]) one.unconfirmed = "why not";
  const profile = loadProfile(JSON.stringify(document));
  const report = askPair({ left: port, right: starboard, profile, version: "0.0.0" });
  const said = report.findings.find(({ code }) => code === "unit/statements-unconfirmed");
  expect(said?.detail).toMatch(/region boot; .*; and \d+ more$/);
  expect(said?.detail.length).toBeLessThan(600);
});

it.each(["", "x".repeat(401), true])("expects a reason in words: %j is none", (reason) => {
  const document = JSON.parse(text) as Document;
  (document.memory as { unconfirmed: unknown }).unconfirmed = reason;
  expect(() => loadProfile(JSON.stringify(document))).toThrow(/memory\.unconfirmed/);
});
