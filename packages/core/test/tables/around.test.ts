import { expect, it } from "vitest";
import { common, type Span } from "../../src/bytes/span.js";
import { Image } from "../../src/image/image.js";
import { tablesAround } from "../../src/tables/around.js";
import { findTables, largestTable } from "../../src/tables/find.js";
import { scatteredFrom } from "../reference/random.js";
import { plant } from "./planted.js";

// Invented: no published table with axes is known in the real images that the other tests search.
it("finds around differences what a search of all their surroundings finds there", { timeout: 240_000 }, () => {
  const random = scatteredFrom(20_261_130);
  let met = 0;
  for (let round = 0; round < 60; round++) {
    const bytes = random.bytes(8192);
    const at = 3000 + random.below(1000);
    const [columns, rows] = [6 + random.below(14), 1 + random.below(14)];
    const width = random.below(2) === 0 ? 1 : 2;
    const { end } = plant(
      bytes,
      at,
      { columns, rows, width, pointWidth: width, order: "big", counts: width, signed: false, noise: 0, falling: false },
      random,
    );
    // In it, at its very ends, and beside it; now and then many at once.
    const places = [at - 8, at - 1, at, at + 2, (at + end) >> 1, end - 1, end, end + 40];
    const first = places[round % places.length] as number;
    const runs: Span[] = Array.from({ length: round % 5 === 0 ? 24 : 1 }, (_, i) => ({
      start: first + 3 * i,
      end: first + 3 * i + 1,
    }));
    const image = Image.of([{ address: 0x1000, bytes }]);
    const there = runs.map(({ start, end }) => ({ start: 0x1000 + start, end: 0x1000 + end }));
    const window = {
      start: (there[0] as Span).start - largestTable,
      end: (there.at(-1) as Span).end + largestTable,
    };
    const expected = findTables(image, [window]).filter(({ span }) => common([span], there).length > 0);
    const found = tablesAround([image, image], there);
    met += expected.length;
    // The second image is searched for what the first did not tell, and is the same one here.
    expect(found.slice(0, expected.length)).toEqual(expected);
    expect(
      found.slice(expected.length).every((one) => expected.some(({ span }) => span.start === one.span.start)),
    ).toBe(true);
  }
  expect(met).toBeGreaterThan(20);
});
