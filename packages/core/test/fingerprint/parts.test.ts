import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { compareFingerprints, type Fingerprint, fingerprintOf } from "../../src/fingerprint/fingerprint.js";
import { fingerprintParts } from "../../src/fingerprint/parts.js";
import { decode } from "../../src/formats/decode.js";
import { Image } from "../../src/image/image.js";
import { loadProfile } from "../../src/profile/load.js";
import { describeUnit } from "../../src/unit/unit.js";

// The invented workboat, whose profile lets holes pass as erased (FF).
const folder = new URL("../../../../test-vectors/workboat/", import.meta.url);
const profile = loadProfile(readFileSync(new URL("profile.json", folder), "utf8"));
const imageOf = (name: string) => decode(new Uint8Array(gunzipSync(readFileSync(new URL(`${name}.gz`, folder))))).image;

function resultsOf(image: Image, holes: "erased" | "unknown") {
  const unit = describeUnit(image, profile, holes);
  return fingerprintParts(unit, []).map((part) => fingerprintOf(unit.image, part));
}
const named = (results: ReturnType<typeof resultsOf>, name: string) => {
  const found = results.find((one) => (one.kind === "computed" ? one.fingerprint.part : one.part) === name);
  if (!found) throw new Error(`expected a part called ${name}`);
  return found;
};
const computed = (result: ReturnType<typeof named>): Fingerprint => {
  if (result.kind !== "computed") throw new Error(`expected a fingerprint, got ${JSON.stringify(result)}`);
  return result.fingerprint;
};

describe("a read that was cut short", () => {
  const short = imageOf("starboard-short.bin");
  const results = resultsOf(short, "unknown");

  it("has the fingerprints of what is whole in it", () => {
    const whole = resultsOf(imageOf("starboard.bin"), "unknown");
    expect(compareFingerprints(computed(named(results, "program")), computed(named(whole, "program")))).toBe("same");
  });
  it.each(["calibration", "whole"])("has none of %s, and says where the bytes are missing", (name) => {
    const result = named(results, name);
    expect(result).toMatchObject({ kind: "missing", part: name });
    if (result.kind === "missing") expect(result.missing[0]?.start).toBe(short.bounds?.end);
  });
});

it("has the same fingerprints when rows of FF were left out of the file", () => {
  const image = imageOf("starboard.bin");
  const rows = image.segments.flatMap(({ address, bytes }) =>
    Array.from({ length: Math.ceil(bytes.length / 32) }, (_, i) => ({
      address: address + 32 * i,
      bytes: bytes.subarray(32 * i, 32 * i + 32),
    })),
  );
  const sparse = Image.of(rows.filter(({ bytes }) => bytes.some((byte) => byte !== 0xff)));
  expect(sparse.length).toBeLessThan(image.length);
  const full = resultsOf(image, "erased");
  const left = resultsOf(sparse, "erased");
  for (const name of ["boot", "program", "calibration"]) {
    expect(compareFingerprints(computed(named(full, name)), computed(named(left, name)))).toBe("same");
  }
});
