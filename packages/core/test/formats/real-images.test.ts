import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { catalogue } from "../../src/findings/catalogue.js";
import { decode } from "../../src/formats/decode.js";
import { encode } from "../../src/formats/encode.js";
import { differenceOf } from "../../src/image/difference.js";
import type { Image } from "../../src/image/image.js";
import { type ExpectedImage, expected, readRealImage, realImagesPresent } from "../real-images.js";

// Values: GNU objdump and objcopy, cmp, od and a second program with code of its own; see test-vectors/README.md.

const sha256 = (bytes: Uint8Array) => createHash("sha256").update(bytes).digest("hex");
const payload = (image: Image) => {
  const hash = createHash("sha256");
  for (const { bytes } of image.segments) hash.update(bytes);
  return hash.digest("hex");
};
const wanted = ({ checks }: ExpectedImage, kind: string) => checks.find((check) => check.kind === kind)?.expect;

/** The neutral names of what is wrong with a file, and codes of ours that say it. */
const anomalyCodes: Readonly<Record<string, RegExp>> = {
  "record-checksum": /checksum-wrong$/,
  "record-length": /length-wrong|digits-odd|record-cut/,
  "record-syntax": /digit-wrong|mark-missing|text-outside|digits-odd|record-cut|bytes-outside/,
  "record-structure": /control-length-wrong|length-wrong|address-field-used/,
  "unknown-type": /type-unknown|records-after-end/,
  "non-record-line": /text-outside-records|mark-missing|text-after-end|bytes-outside-records/,
  "record-after-end": /records-after-end|text-after-end/,
  "missing-end": /missing-end/,
  "record-count": /count-mismatch/,
  "overlap-same": /overlap-equal/,
  "overlap-conflict": /overlap-conflict/,
  "duplicate-start": /start-repeated|start-conflict/,
};

describe.runIf(realImagesPresent)("real firmware", () => {
  const text = expected.images.filter(({ format }) => format === "ihex" || format === "srec");

  it("is the one that was looked at", () => {
    for (const image of expected.images) {
      const digest = wanted(image, "file-sha256");
      if (digest !== undefined) expect(sha256(readRealImage(image.path)), image.id).toBe(digest);
    }
  });

  it.each(text.map((image) => [image.id, image] as const))(
    "%s decodes to the memory that it describes",
    (_id, image) => {
      const decoded = decode(readRealImage(image.path));
      expect(decoded.format).toBe(image.format === "ihex" ? "intel-hex" : "s-record");
      expect(payload(decoded.image)).toBe(wanted(image, "payload-sha256"));
      expect(decoded.image.length).toBe(wanted(image, "payload-size"));
      expect(decoded.image.spans.map(({ start, end }) => [start, end - start])).toEqual(wanted(image, "segments"));
      const start = wanted(image, "start");
      if (start === null) expect(decoded.start).toBeUndefined();
      for (const anomaly of Object.keys((wanted(image, "anomalies") ?? {}) as object)) {
        const codes = decoded.findings.map(({ code }) => code);
        expect(
          codes.some((code) => anomalyCodes[anomaly]?.test(code)),
          `${anomaly} in ${codes.join(", ")}`,
        ).toBe(true);
      }
    },
  );

  it("survives being written in every format and read again", () => {
    for (const { path, id } of text) {
      const { image } = decode(readRealImage(path));
      for (const format of ["intel-hex", "s-record"] as const) {
        for (const recordLength of [1, 16, 32, 255]) {
          const again = decode(encode(image, format, { recordLength }));
          expect(again.image.equals(image), `${id} as ${format}`).toBe(true);
          expect(again.findings).toEqual([]);
        }
      }
    }
  });

  it("differs where cmp says that it differs", () => {
    const at = (id: string) =>
      decode(readRealImage(expected.images.find((image) => image.id === id)?.path ?? "")).image;
    let compared = 0;
    for (const { kind, a, b, expect: value } of expected.pairs) {
      if (kind === "same-payload") {
        expect(differenceOf(at(a), at(b)).bytes, `${a} ${b}`).toBe(0);
        compared++;
      } else if (kind === "contains") {
        const { bytes, onlyFirst } = differenceOf(at(a), at(b));
        expect([bytes, onlyFirst.length], `${a} ${b}`).toEqual([0, 0]);
        compared++;
      } else if (kind === "diff") {
        const [bytes, count, first] = value as [number, number, [number, number][]];
        const found = differenceOf(at(a), at(b));
        expect([found.bytes, found.runs.length], `${a} ${b}`).toEqual([bytes, count]);
        expect(found.runs.slice(0, first.length).map(({ start, end }) => [start, end - start])).toEqual(first);
        compared++;
      }
    }
    expect(compared).toBeGreaterThan(35);
  });

  it("is not refused for what stands after its end record", () => {
    for (const { path } of text) {
      const { findings, image } = decode(readRealImage(path));
      expect(image.length).toBeGreaterThan(0);
      for (const { code } of findings.filter((one) => catalogue[one.code].severity === "stop"))
        expect(code).not.toMatch(/after-end/);
    }
  });
});

// The bad and good records of the test module of the Debian package python3-intelhex (BSD-3-Clause), with the error that
// is expected of each.
describe("the records of a published test module", () => {
  const records = expected.images
    .flatMap(({ checks }) => checks)
    .filter(({ kind }) => kind === "pytest-record") as unknown as { records: string[]; expect: [boolean, string[]] }[];

  it.each(records.map((one) => [one.records.join(" "), one] as const))(
    "%s",
    (_text, { records: lines, expect: [, names] }) => {
      const text = `${lines.join("\n")}\n:00000001FF\n`;
      const { findings } = decode(
        Uint8Array.from(text, (c) => c.charCodeAt(0)),
        { format: "intel-hex" },
      );
      const codes = findings.map(({ code }) => code);
      for (const name of names) {
        expect(
          codes.some((code) => anomalyCodes[name]?.test(code)),
          `${name} in ${codes.join(", ")}`,
        ).toBe(true);
      }
      const own = codes.filter((code) => code !== "file/no-data" && code !== "file/empty");
      if (names.length === 0) expect(own).toEqual([]);
    },
  );
});
