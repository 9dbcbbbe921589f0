import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { type DataTable, findTables } from "../../src/tables/find.js";
import { partOfTable } from "../../src/tables/place.js";
import { scatteredFrom } from "../reference/random.js";
import { folders, hashOf, loadCorpus, spread } from "../soundness/corpus.js";
import { type Planted, type Planting, plant } from "./planted.js";

/** Real open firmware (test-vectors/real-images/fetch.sh, fetch-corpus.sh): code, and no table with axes that is known of. */
const images = loadCorpus().filter(({ bytes }) => bytes.length <= 2 ** 19);
const absent = `no images in ${folders.join(" or ")}: run test-vectors/real-images/fetch-corpus.sh`;
const asked = process.env.ASSAY_REQUIRE_TOOLS === "1";
if (images.length === 0 && !asked) console.warn(`\n  NOT TESTED: ${absent}\n`);

const tablesIn = (bytes: Uint8Array) => findTables(Image.of([{ address: 0x4000, bytes }]));

it.runIf(asked)("has images to measure on", () => expect(images.length, absent).toBeGreaterThan(100));

describe.runIf(images.length > 0)("false alarms", () => {
  const some = spread(images, 40);
  const kibibytes = some.reduce((sum, { bytes }) => sum + bytes.length, 0) / 1024;

  it("are none in shuffled images and in random bytes", { timeout: 240_000 }, () => {
    const found = some.flatMap(({ name, bytes }) => {
      const random = scatteredFrom(hashOf(new TextEncoder().encode(name)));
      const shuffled = bytes.slice();
      for (let i = shuffled.length - 1; i > 0; i--) {
        const j = random.below(i + 1);
        [shuffled[i], shuffled[j]] = [shuffled[j] as number, shuffled[i] as number];
      }
      return [...tablesIn(shuffled), ...tablesIn(random.bytes(bytes.length))];
    });
    expect(found).toEqual([]);
  });

  it("are few in real images", { timeout: 240_000 }, () => {
    const found = some.flatMap(({ bytes }) => tablesIn(bytes));
    const likely = found.filter(({ certainty }) => certainty === "likely");
    const rate = (count: number) => ((1024 * count) / kibibytes).toFixed(1);
    console.log(
      `in ${some.length} real images, ${kibibytes.toFixed(0)} KiB: likely ${rate(likely.length)}, possible ${rate(found.length - likely.length)} a MiB`,
    );
    expect((1024 * likely.length) / kibibytes).toBeLessThan(6);
    expect((1024 * found.length) / kibibytes).toBeLessThan(20);
  });
});

/** Sizes, columns first. */
const sizes = [
  [8, 1],
  [16, 1],
  [32, 1],
  [4, 4],
  [6, 6],
  [8, 8],
  [12, 8],
  [16, 12],
  [16, 16],
  [32, 32],
] as const;

describe("tables that were put in", () => {
  it("are found, and at their size when it is stated", { timeout: 240_000 }, () => {
    const random = scatteredFrom(20);
    const lines: string[] = [];
    let [stated, met, exact] = [0, 0, 0];
    for (const [columns, rows] of sizes) {
      for (const width of [1, 2] as const) {
        const cells: string[] = [];
        for (const counted of [false, true]) {
          for (const noise of [0, 0.03, 0.1]) {
            const told = Array.from({ length: tries }, () =>
              outcomeOf({ columns, rows, width, counted, noise }, random),
            );
            const share = (of: (one: (typeof told)[number]) => boolean) => told.filter(of).length;
            cells.push(`${(100 * share((one) => one.met)) / tries} / ${(100 * share((one) => one.exact)) / tries}`);
            if (!counted || noise > 0.03 || columns * rows < 64) continue;
            stated += tries;
            met += share((one) => one.met);
            exact += share((one) => one.exact);
          }
        }
        lines.push(`| ${columns} x ${rows}, ${8 * width} bits | ${cells.join(" | ")} |`);
      }
    }
    console.log(["| table | no counts, exact | 3 % | 10 % | counts, exact | 3 % | 10 % |", ...lines].join("\n"));
    expect(met / stated).toBeGreaterThan(0.9);
    expect(exact / stated).toBeGreaterThan(0.85);
  });

  it("are told by rows, points and values", () => {
    const { table, planted } = known();
    expect([table.columns, table.rows, table.width, table.order, table.counts]).toEqual([16, 12, 16, "big", 2]);
    expect(table.span).toEqual({ start: planted.start, end: planted.end });
    expect(table.values).toEqual({ start: planted.values, end: planted.end });
    expect(table.axes.map(({ what, points, span }) => [what, points, span.start - planted.start])).toEqual([
      ["columns", 16, 4],
      ["rows", 12, 36],
    ]);
    const row = (first: number, last: number) => ({
      start: planted.values + 32 * (first - 1) + 3,
      end: planted.values + 32 * last - 2,
    });
    expect(partOfTable(table, row(3, 5))).toEqual({ what: "rows", first: 3, last: 5 });
    const point = { start: planted.start + 36 + 2, end: planted.start + 36 + 3 };
    expect(partOfTable(table, point)).toEqual({ what: "axis-y", first: 2, last: 2 });
    expect(partOfTable(table, { start: planted.start, end: planted.start + 1 })).toBeUndefined();
  });

  it("are not found across a hole", () => {
    const { bytes, planted } = known();
    const image = Image.of([{ address: 0, bytes }]).without([{ start: planted.values + 40, end: planted.values + 41 }]);
    expect(findTables(image).filter(({ rows, columns }) => rows * columns === 192)).toEqual([]);
  });
});

it("ends with data that could be a table everywhere", { timeout: 240_000 }, () => {
  for (const made of [
    (i: number) => i,
    (i: number) => i >> 3,
    (i: number) => (i % 97) * 2,
    (i: number) => (i * i) >> 6,
  ]) {
    const bytes = Uint8Array.from({ length: 65536 }, (_, i) => made(i));
    expect(tablesIn(bytes).length).toBeLessThan(65536 / 20);
  }
});

const tries = 10;

interface Case extends Pick<Planting, "columns" | "rows" | "width" | "noise"> {
  readonly counted: boolean;
}

/** Whether a table in 8 KiB of real firmware, or of random bytes where there is none, is met by what is found. */
function outcomeOf({ counted, ...size }: Case, random: ReturnType<typeof scatteredFrom>) {
  const hosts = images.filter(({ bytes }) => bytes.length >= 16384);
  const host = hosts[random.below(Math.max(1, hosts.length))]?.bytes ?? random.bytes(16384);
  const from = random.below(host.length - 8192);
  const bytes = host.slice(from, from + 8192);
  const planted = plant(
    bytes,
    2048 + 2 * random.below(1000),
    {
      ...size,
      pointWidth: size.width === 1 ? 1 : random.below(2) === 0 ? 1 : 2,
      order: random.below(2) === 0 ? "big" : "little",
      counts: counted ? (random.below(2) === 0 ? 1 : 2) : 0,
      signed: random.below(2) === 0,
      falling: random.below(4) === 0,
    },
    random,
  );
  const found = findTables(Image.of([{ address: 0, bytes }]));
  const met = found.find(({ span }) => span.start < planted.end && planted.start < span.end);
  return { met: met !== undefined, exact: met !== undefined && isExact(met, planted, size) };
}

function isExact(table: DataTable, planted: Planted, { columns, rows, width }: Omit<Case, "counted">): boolean {
  return (
    table.values.start === planted.values &&
    table.columns === columns &&
    table.rows === rows &&
    table.width === 8 * width
  );
}

/** A table of 16 columns and 12 rows of words, high byte first, in random bytes at 0. */
function known() {
  const random = scatteredFrom(3);
  const bytes = random.bytes(4096);
  const planted = plant(
    bytes,
    1024,
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
  const table = findTables(Image.of([{ address: 0, bytes }]))[0] as DataTable;
  return { bytes, planted, table };
}
