import { describe, expect, it } from "vitest";
import type { Span } from "../../src/bytes/span.js";
import { decode } from "../../src/formats/decode.js";
import { Image } from "../../src/image/image.js";
import { askPair } from "../../src/questions/pair.js";
import { askReadback } from "../../src/questions/readback.js";
import { tablesAt } from "../../src/questions/tables.js";
import { reportSchema } from "../../src/report/schema.js";
import { scatteredFrom } from "../reference/random.js";
import { plant } from "../tables/planted.js";
import { fileAt, fileOf, profileAt } from "./files.js";

/**
 * The calibration of the invented family ends in nothing that a program knows: a directory of a hundred tables, which
 * test-vectors/build/workboat/calibration.ts writes as counts of columns and rows, axes, values, all words of 16 bits.
 */
function directoryOf(image: Image): { start: number; columns: number; rows: number; end: number }[] {
  const word = (at: number) => (image.byteAt(at) as number) * 256 + (image.byteAt(at + 1) as number);
  return Array.from({ length: word(0x3003e) }, (_, i) => {
    const start = 65536 * word(0x30040 + 4 * i) + word(0x30042 + 4 * i);
    const [columns, rows] = [word(start), word(start + 2)];
    return { start, columns, rows, end: start + 4 + 2 * (columns + (rows > 1 ? rows : 0) + columns * rows) };
  });
}

describe("two calibrations of one family", () => {
  const left = fileAt("left", "workboat/port.hex.gz");
  const right = fileAt("right", "workboat/starboard-other-build.bin.gz");
  for (const profile of [undefined, profileAt("workboat/profile.json")]) {
    it(`differ in tables, which are named as they are, ${profile ? "with" : "without"} a profile`, () => {
      const report = askPair({ left, right, profile, version: "0.0.0" });
      expect(reportSchema.parse(report)).toEqual(report);
      const truth = directoryOf(left.decoded.image);
      expect(truth.length).toBe(100);
      const told = (report.differences ?? []).flatMap(({ table }) => (table ? [table] : []));
      const near = told.filter(({ start }) => start >= 0x30200 && start < 0x38000);
      const named = near.filter(({ start, rows, columns }) =>
        truth.some((one) => one.start === start && one.rows === rows && one.columns === columns),
      );
      expect(new Set(named.map(({ start }) => start)).size).toBeGreaterThan(80);
      expect(named.length / near.length).toBeGreaterThan(0.95);
    });
  }
});

/** Random bytes around a table of 16 columns and 12 rows at 0x400, and the same with the values of rows 3 to 5 raised. */
function twins(): { left: Uint8Array; right: Uint8Array; rows: Span } {
  const random = scatteredFrom(11);
  const left = random.bytes(8192);
  const { values } = plant(
    left,
    0x400,
    {
      columns: 16,
      rows: 12,
      width: 2,
      pointWidth: 2,
      order: "big",
      counts: 2,
      signed: false,
      noise: 0,
      falling: false,
    },
    random,
  );
  const rows = { start: values + 2 * 32, end: values + 5 * 32 };
  const right = left.slice();
  for (let at = rows.start; at < rows.end; at++) right[at] = (right[at] as number) ^ 1;
  return { left, right, rows };
}

describe("a difference in a table", () => {
  const { left, right, rows } = twins();
  const inputs = [fileOf("left", left), fileOf("right", right)] as const;
  const report = askPair({ left: inputs[0], right: inputs[1], version: "0.0.0" });

  it("is told with the part of the table", () => {
    expect(report.differences?.length).toBe(1);
    expect(report.differences?.[0]?.table).toMatchObject({
      start: 0x400,
      rows: 12,
      columns: 16,
      width: 16,
      order: "big",
      certainty: "likely",
      axes: [
        { what: "columns", points: 16, start: 0x404 },
        { what: "rows", points: 12, start: 0x424 },
      ],
      part: { what: "rows", first: 3, last: 5 },
    });
  });

  it("is told after a write too", () => {
    const [intended, read] = [fileOf("intended", left), fileOf("readback", right)];
    const after = askReadback({ intended, read, version: "0.0.0" });
    expect(after.differences?.map(({ table }) => table?.part)).toEqual([{ what: "rows", first: 3, last: 5 }]);
  });

  it("is found when only the other side is one", () => {
    const images = [
      Image.of([{ address: 0, bytes: right.slice().fill(0xff, 0x400, 0x800) }]),
      decode(left).image,
    ] as const;
    expect(tablesAt(report.differences ?? [], images).map(({ span }) => span.start)).toEqual([0x400]);
  });

  it("has the name of a description instead, where there is one", () => {
    const named = { name: "Fuelling", kind: "map", span: rows, sized: true, parts: [], counts: [] } as const;
    const description = {
      project: undefined,
      identifier: undefined,
      order: undefined,
      segments: [],
      leftOut: [],
      missing: [],
    };
    const names = { file: "boat.a2l", description: { ...description, objects: [named] } };
    const told = askPair({ left: inputs[0], right: inputs[1], names, version: "0.0.0" });
    expect(told.differences?.[0]?.names?.map(({ name }) => name)).toEqual(["Fuelling"]);
    expect(told.differences?.[0]?.table).toBeUndefined();
  });
});

it("searches no more of two images that differ everywhere", { timeout: 60_000 }, () => {
  const random = scatteredFrom(13);
  const bytes = random.bytes(2 ** 21);
  const files = [
    fileOf("left", bytes),
    fileOf(
      "right",
      bytes.map((byte) => byte ^ 0x55),
    ),
  ] as const;
  const report = askPair({ left: files[0], right: files[1], version: "0.0.0" });
  expect(report.differences?.some(({ table }) => table)).toBe(false);
});
