import { describe, expect, it } from "vitest";
import { fromHex, toHex } from "../../src/bytes/hex.js";
import { ImageBuilder, RUNS_KEPT } from "../../src/image/builder.js";
import { randomFrom, seed } from "../reference/random.js";

const built = (writes: readonly (readonly [address: number, digits: string])[]) => {
  const builder = new ImageBuilder(writes.reduce((total, [, digits]) => total + digits.length / 2, 0));
  for (const [line, [address, digits]] of writes.entries())
    builder.write(address, fromHex(digits), 10 * line, line + 1);
  return builder.build();
};
const parts = ({ image }: ReturnType<typeof built>) =>
  image.segments.map(({ address, bytes }) => [address, toHex(bytes)]);

describe("an image builder", () => {
  it("joins writes that touch, in any order, and keeps holes", () => {
    expect(
      parts(
        built([
          [4, "04"],
          [2, "0203"],
          [0, "0001"],
          [6, "06"],
        ]),
      ),
    ).toEqual([
      [0, "0001020304"],
      [6, "06"],
    ]);
  });

  it("keeps the first write where two meet, and names both", () => {
    const { image, conflicting, equal } = built([
      [16, "0102"],
      [17, "99"],
      [16, "01"],
    ]);
    expect(toHex(image.segments[0]?.bytes ?? new Uint8Array(0))).toBe("0102");
    expect(conflicting.shown).toEqual([
      {
        address: 17,
        length: 1,
        differing: 1,
        firstDifference: 17,
        first: { position: 0, line: 1, distance: 1 },
        second: { position: 10, line: 2, distance: 0 },
        kept: 2,
        dropped: 0x99,
      },
    ]);
    expect([equal.count, equal.bytes, equal.shown[0]?.second.line]).toEqual([1, 1, 3]);
  });

  it("reaches from the first address to the last", () => {
    const { image } = built([
      [2 ** 32 - 1, "ff"],
      [0, "00"],
    ]);
    expect(image.spans).toEqual([
      { start: 0, end: 1 },
      { start: 2 ** 32 - 1, end: 2 ** 32 },
    ]);
    expect(() => built([[2 ** 32 - 1, "ffff"]])).toThrow(RangeError);
  });

  it("tells of one overlap when a long block was written twice", () => {
    const block = randomFrom(1).bytes(100_000);
    const builder = new ImageBuilder(2 * block.length);
    for (let round = 0; round < 2; round++) {
      for (let at = 0; at < block.length; at += 16) builder.write(at, block.subarray(at, at + 16), round, at);
    }
    const { equal, conflicting, image } = builder.build();
    expect([equal.count, equal.bytes, conflicting.count, image.length]).toEqual([1, 100_000, 0, 100_000]);
  });

  it("keeps the lowest runs when there are too many, and counts the others", () => {
    const builder = new ImageBuilder(10);
    for (let i = 0; i < 5; i++) builder.write(10 * (4 - i), Uint8Array.of(i, i));
    const { image, leftOut } = builder.build(3);
    expect([image.segments.map(({ address }) => address), leftOut]).toEqual([[0, 10, 20], { runs: 2, bytes: 4 }]);
  });

  it(`gives what a plain map of bytes gives (seed ${seed})`, () => {
    const random = randomFrom(seed);
    for (let round = 0; round < 300; round++) {
      const builder = new ImageBuilder(40 * 16);
      const known = new Map<number, { byte: number; write: number }>();
      const overlaps = { equal: 0, conflicting: 0 };
      const base = random.below(2) === 0 ? 0 : 2 ** 32 - 256;
      let address = base;
      for (let write = 0; write < 40; write++) {
        if (random.below(3) === 0) address = base + random.below(200);
        const bytes = random.bytes(random.below(16)).map((byte) => byte % 3);
        const length = Math.min(bytes.length, 2 ** 32 - address);
        builder.write(address, bytes.subarray(0, length), write, write + 1);
        for (let i = 0; i < length; i++) {
          const before = known.get(address + i);
          if (!before) known.set(address + i, { byte: bytes[i] as number, write });
          else if (before.byte === bytes[i]) overlaps.equal++;
          else overlaps.conflicting++;
        }
        address = Math.min(2 ** 32 - 1, address + length);
      }
      const { image, equal, conflicting, traceOf } = builder.build();
      const found = image.segments.flatMap(({ address: at, bytes }) => [...bytes].map((byte, i) => [at + i, byte]));
      expect(found).toEqual([...known].map(([at, { byte }]) => [at, byte]).sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0)));
      expect(conflicting.count > 0).toBe(overlaps.conflicting > 0);
      expect(equal.bytes + conflicting.bytes).toBe(overlaps.equal + overlaps.conflicting);
      expect(conflicting.shown.reduce((total, { differing }) => total + differing, 0)).toBe(overlaps.conflicting);
      // A trace leads to its byte from an earlier write: no later one, and none with more bytes than lie between.
      const astray = [...known].filter(([at, { write }]) => {
        const trace = traceOf(at);
        return !trace || trace.position > write || trace.distance >= 16 * (write - trace.position + 1);
      });
      expect(astray).toEqual([]);
      const addresses = Array.from({ length: 256 }, (_, i) => base + i);
      expect(addresses.filter((at) => (traceOf(at) !== undefined) !== known.has(at))).toEqual([]);
    }
  });
});

describe("the cost of building", () => {
  const count = 1_000_000;

  // What grew with the square of the writes would not come to its end.
  it.each([
    ["reversed", (i: number) => 4 * (count - i - 1), 4 * count],
    ["interleaved", (i: number) => 4 * (i % 2 === 0 ? i / 2 : count / 2 + (i - 1) / 2), 4 * count],
    ["all at one place", () => 0, 4],
  ])("grows with the writes when they are %s", (_name, address, end) => {
    const builder = new ImageBuilder(4 * count);
    const bytes = Uint8Array.of(1, 2, 3, 4);
    for (let i = 0; i < count; i++) builder.write(address(i), bytes);
    expect(builder.build().image.spans).toEqual([{ start: 0, end }]);
  });

  it("does not grow with the addresses", () => {
    const { image } = built([
      [0, "01"],
      [2 ** 32 - 1, "02"],
    ]);
    expect(image.segments.map(({ bytes }) => bytes.buffer.byteLength)).toEqual([2, 2]);
  });

  it("keeps no more runs than a unit could have", () => expect(RUNS_KEPT).toBe(131_072));
});
