import { describe, expect, it } from "vitest";
import { algorithmOf } from "../../src/algorithms/algorithm.js";
import type { CrcModel } from "../../src/algorithms/crc.js";
import { crcCatalogue } from "../../src/algorithms/crc-catalogue.js";
import { Image } from "../../src/image/image.js";
import { type FoundChecksum, seekChecksums } from "../../src/index.js";
import { crcParameters } from "../../src/profile/schema/checksum.js";
import { type Random, scatteredFrom, seed } from "../reference/random.js";

type Parameters = Omit<CrcModel, "name">;
interface Sealed {
  readonly start: number;
  readonly end: number;
  readonly order?: "little";
}

/** Units of one family: their numbers differ, and each range has a CRC behind it that no other unit has, nor fill. */
function familyOf(model: Parameters, random: Random, ranges: readonly Sealed[], count = 4): Uint8Array[] {
  const { width, poly, init, refin, refout, xorout } = model;
  const algorithm = algorithmOf({ width, poly, init, refin, refout, xorout });
  const base = random.bytes(4096);
  const taken = ranges.map(() => new Set([0n, (1n << BigInt(width)) - 1n]));
  return Array.from({ length: count }, () => {
    const content = base.slice();
    for (const [k, { start, end, order }] of ranges.entries()) {
      let value = 0n;
      while (taken[k]?.has(value)) {
        content.set(random.bytes(8), start + 48);
        content.set(random.bytes(3), end - 200);
        const running = algorithm.start();
        running.update(content.subarray(start, end));
        value = running.value();
      }
      taken[k]?.add(value);
      for (let i = 0; i < width / 8; i++) {
        content[order ? end + i : end + width / 8 - 1 - i] = Number((value >> BigInt(8 * i)) & 255n);
      }
    }
    return content;
  });
}

/** What is found without any CRC that has a name. */
function foundIn(contents: readonly Uint8Array[]): readonly FoundChecksum[] {
  const search = seekChecksums(
    contents.map((bytes) => Image.of([{ address: 0, bytes }])),
    { families: [] },
  );
  let step = search.next();
  while (!step.done) step = search.next();
  return step.value.found.filter(({ certainty }) => certainty !== "chance");
}

describe(`polynomials that nobody tells, from four reads, seed ${seed}`, () => {
  const random = scatteredFrom(seed);

  // The parameters are those of the public catalogue of CRC algorithms: no search looks at them here.
  const published = crcCatalogue.filter(({ width, refin, refout }) => [16, 32].includes(width) && refin === refout);
  it.each(published.map((row): [string, CrcModel] => [row.name, row]))("%s, of two ranges", (name, row) => {
    const end = row.width / 8;
    const found = foundIn(
      familyOf(row, random, [
        { start: 0, end: 1024 - end },
        { start: 1280, end: 2560 - end },
      ]),
    );
    expect(found.map(({ algorithm, ranges }) => [algorithm, ranges])).toEqual([
      [name, [{ start: 1280, length: 1280 - end }]],
      [name, [{ start: 0, length: 1024 - end }]],
    ]);
  });

  it.each([16, 32])("an invented one of %s bits, as a profile takes it", (width) => {
    const invented = { width, poly: random.bits(width) | 1n, init: 0n, refin: true, refout: true, xorout: 0n };
    const end = width / 8;
    const [found] = foundIn(familyOf(invented, random, [{ start: 0, end: 2048 - end, order: "little" }]));
    expect(found).toMatchObject({ ranges: [{ start: 0, length: 2048 - end }], stored: { width, order: "little" } });
    expect(crcParameters.parse(found?.parameters)).toEqual(invented);
  });

  it("one of 32 bits that is the product of two of 16, which each come right as well", () => {
    const [one, other] = [0x18bb7n, 0x1a2ebn];
    let poly = 0n;
    for (let bit = 0n; bit <= 16n; bit++) if ((other >> bit) & 1n) poly ^= one << bit;
    const invented = { width: 32, poly: poly & 0xffffffffn, init: 0n, refin: true, refout: true, xorout: 0n };
    const found = foundIn(familyOf(invented, random, [{ start: 0, end: 2044, order: "little" }]));
    expect(found.map(({ ranges, stored }) => [ranges, stored.width])).toEqual([[[{ start: 0, length: 2044 }], 32]]);
  });

  it("from 8 reads one of 8 bits", () => {
    const row = crcCatalogue.find(({ name }) => name === "CRC-8/OPENSAFETY") as CrcModel;
    const found = foundIn(
      familyOf(
        row,
        random,
        [
          { start: 0, end: 1023 },
          { start: 1280, end: 2559 },
        ],
        8,
      ),
    );
    expect(found.map(({ algorithm }) => algorithm)).toEqual([row.name, row.name]);
  });

  it("none where words are made up", () => {
    const base = random.bytes(4096);
    const contents = Array.from({ length: 4 }, () => {
      const content = base.slice();
      for (const at of [16, 512, 1020, 2044, 3000]) content.set(random.bytes(4), at);
      return content;
    });
    expect(foundIn(contents)).toEqual([]);
  });
});
