import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { runLimit } from "../../src/image/difference.js";
import { Image } from "../../src/image/image.js";
import { askCheck } from "../../src/questions/check.js";
import { reportSchema } from "../../src/report/schema.js";
import { measureReads } from "../../src/soundness/read-differences.js";
import { fileAt, fileOf, profileAt } from "./files.js";

// The invented workboat: what each file was made to show stands in test-vectors/README.md.
const profile = profileAt("workboat/profile.json");
const port = fileAt("read-1", "workboat/port.hex.gz");
const again = fileAt("read-2", "workboat/port-read-2.bin.gz");
const bytesOfPort = again.decoded.image.segments[0]?.bytes as Uint8Array;

const check = (...reads: ReturnType<typeof fileOf>[]) => {
  const report = askCheck({ reads, profile, version: "0.0.0" });
  expect(reportSchema.parse(report)).toEqual(report);
  const codes = report.findings.filter(({ severity }) => severity !== "note").map(({ code }) => code);
  return { verdict: report.verdict, codes: codes.filter((code) => code.startsWith("soundness/")) };
};
/** A further read of port in which some bytes came out otherwise. */
const changed = (change: (bytes: Uint8Array) => Uint8Array | undefined) => {
  const copy = bytesOfPort.slice();
  return fileOf("read-2", change(copy) ?? copy);
};

describe("several reads of one unit", () => {
  it("are clear when they differ only in what the unit writes by itself, whatever their formats", () => {
    expect(check(port, again)).toEqual({ verdict: "clear", codes: [] });
  });

  it("stop for single wrong bits", () => {
    const third = fileAt("read-3", "workboat/port-read-3.bin.gz");
    expect(check(port, again, third)).toEqual({ verdict: "stop", codes: ["soundness/reads-differ"] });
  });

  it("name the data line that all differences lie on", () => {
    const bad = changed((bytes) => {
      for (let at = 0x4100; at < 0x4900; at += 64) bytes[at] = (bytes[at] as number) ^ 0x10;
      return undefined;
    });
    expect(check(again, bad).codes.sort()).toEqual(["soundness/contact-on-data-line", "soundness/reads-differ"]);
  });

  it("name the place from which on one of them is displaced", () => {
    const at = 0x4400;
    const bad = changed(
      (bytes) => new Uint8Array(Buffer.concat([bytes.subarray(0, at), Uint8Array.of(0x55), bytes.subarray(at, -1)])),
    );
    expect(check(again, bad).codes).toContain("soundness/reads-shifted");
  });

  it("stop when one of them is cut short", () => {
    const bad = changed((bytes) => bytes.subarray(0, 0x20000));
    expect(check(again, bad).codes).toEqual(["soundness/reads-of-other-extent"]);
  });

  it("are told when they are equal, and need a review when no profile says what may differ", () => {
    expect(check(again, again)).toEqual({ verdict: "clear", codes: [] });
    const { findings } = askCheck({ reads: [again, again], profile, version: "0.0.0" });
    expect(findings.map(({ code }) => code)).toContain("soundness/reads-equal");
    const blind = askCheck({ reads: [port, again], version: "0.0.0" });
    expect(blind.verdict).not.toBe("clear");
  });
});

it("counts what it cannot list", () => {
  const size = 2 * (runLimit + 50);
  const one = Image.of([{ address: 0, bytes: new Uint8Array(size) }]);
  const other = Image.of([{ address: 0, bytes: new Uint8Array(size).map((_, i) => i % 2) }]);
  const [difference] = measureReads([one, other]);
  expect(difference).toMatchObject({ bytes: runLimit + 50, raised: runLimit + 50, lowered: 0, volatile: 0 });
});

it("refuses a side that the profile does not know", () => {
  expect(() => askCheck({ reads: [port], profile, side: "larboard", version: "0.0.0" })).toThrow(Refusal);
});
