import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { kindsOf } from "../../src/soundness/kinds.js";
import { measureReads } from "../../src/soundness/read-differences.js";
import { voteOf } from "../../src/soundness/vote.js";
import { chanceOf } from "./faults.js";

const chance = chanceOf(11);
const good = Uint8Array.from({ length: 16384 }, () => chance(256));
const imageOf = (bytes: Uint8Array, address = 0x4000) => Image.of([{ address, bytes }]);
const some = (count: number, seed: number, change: (byte: number) => number, limit = good.length) => {
  const next = chanceOf(seed);
  const bytes = good.slice();
  for (let i = 0; i < count; i++) {
    const at = next(limit);
    bytes[at] = change(bytes[at] as number);
  }
  return bytes;
};

describe("measureReads", () => {
  const of = (bytes: Uint8Array) => measureReads([imageOf(good), imageOf(bytes)])[0];
  it("finds no difference between equal reads", () =>
    expect(of(good)).toMatchObject({ bytes: 0, raised: 0, lowered: 0 }));
  it("tells one-way flips", () => expect(of(some(40, 5, (byte) => byte | 0x11))).toMatchObject({ lowered: 0 }));
  it("names the one data line", () =>
    expect(of(some(60, 6, (byte) => byte ^ 0x20))?.dataLine).toEqual({ bus: 8, lane: 0, bit: 5 }));
  it("names the one address line", () => {
    const bytes = good.slice();
    for (let at = 0; at < bytes.length; at += 97) bytes[at] = good[at ^ 512] as number;
    expect(of(bytes)?.addressLine?.line).toBe(9);
  });
  it("does not name a line for noise", () => {
    const next = chanceOf(9);
    const noise = of(some(60, 8, () => next(256)));
    expect(noise?.dataLine).toBeUndefined();
    expect(noise?.addressLine).toBeUndefined();
    expect(noise?.shift).toBeUndefined();
  });
  it.each([1, 3, 128])("sees %i bytes put in", (by) => {
    const bytes = Uint8Array.from([...good.subarray(0, 5000), ...new Uint8Array(by), ...good.subarray(5000)]);
    expect(of(bytes)?.shift).toEqual({ from: 0x4000 + 5000, by });
  });
  it("sees bytes lost", () => {
    const bytes = Uint8Array.from([...good.subarray(0, 5000), ...good.subarray(5004)]);
    expect(of(bytes)?.shift).toMatchObject({ by: -4 });
  });
  it("leaves volatile places out and counts them", () => {
    const volatile = [{ start: 0x4000, end: 0x4000 + 1000 }];
    const bytes = some(30, 4, (byte) => byte ^ 1, 1000);
    const [difference] = measureReads([imageOf(good), imageOf(bytes)], { volatile: () => volatile });
    expect(difference).toMatchObject({ bytes: 0 });
    expect(difference?.volatile).toBeGreaterThan(20);
  });
});

describe("voteOf", () => {
  it("settles what two of three agree on", () => {
    const vote = voteOf([
      imageOf(some(50, 1, (byte) => byte ^ 0xff)),
      imageOf(some(50, 2, (byte) => byte ^ 0xff)),
      imageOf(good),
    ]);
    expect(vote.open + vote.settled).toBeGreaterThan(80);
    expect(
      vote.image.segments.every(({ address, bytes }) => bytes.every((byte, i) => byte === good[address - 0x4000 + i])),
    ).toBe(true);
  });
  it("leaves a hole where an even number is split", () => {
    const other = good.slice();
    other[100] = (other[100] as number) ^ 1;
    const vote = voteOf([imageOf(good), imageOf(good), imageOf(other), imageOf(other)]);
    expect(vote).toMatchObject({ settled: 0, open: 1, openSpans: [{ start: 0x4064, end: 0x4065 }] });
    expect(vote.image.length).toBe(good.length - 1);
  });
  it("counts bytes that not every read knows, and leaves open what one read alone says", () => {
    const half = good.subarray(0, 8192);
    const vote = voteOf([imageOf(good), imageOf(half), imageOf(half)]);
    expect(vote).toMatchObject({ partial: 8192, open: 8192, settled: 0 });
    expect(vote.image.equals(imageOf(half))).toBe(true);
    expect(voteOf([imageOf(good), imageOf(good), imageOf(half)])).toMatchObject({ partial: 8192, open: 0 });
  });
  it("votes nothing out of nothing", () => expect(voteOf([]).image.length).toBe(0));
  it("agrees with a plain count on chance reads", () => {
    for (let seed = 1; seed <= 20; seed++) {
      const next = chanceOf(seed);
      const reads = Array.from({ length: 2 + next(4) }, () => Uint8Array.from({ length: 64 }, () => next(3)));
      const { image } = voteOf(reads.map((bytes) => imageOf(bytes)));
      for (let i = 0; i < 64; i++) {
        const winner = [0, 1, 2].find((value) => 2 * reads.filter((bytes) => bytes[i] === value).length > reads.length);
        expect(image.byteAt(0x4000 + i), `seed ${seed}`).toBe(winner);
      }
    }
  });
});

describe("kindsOf", () => {
  it("pictures a read block by block", () => {
    const text = Buffer.from("oil pressure low ".repeat(300)).subarray(0, 4096);
    const bytes = Uint8Array.from([...new Uint8Array(4096).fill(0xff), ...text, ...good.subarray(0, 4096)]);
    expect(kindsOf(imageOf(bytes), 3).map(({ kind }) => kind)).toEqual(["fill", "text", "dense"]);
  });
  it("shows holes and never makes more blocks than bytes", () => {
    const image = Image.of([
      { address: 0, bytes: good.subarray(0, 4096) },
      { address: 12288, bytes: good.subarray(0, 4096) },
    ]);
    expect(kindsOf(image, 4).map(({ kind }) => kind)).toEqual(["dense", "hole", "hole", "dense"]);
    expect(kindsOf(imageOf(good.subarray(0, 2)), 80)).toHaveLength(2);
    expect(kindsOf(Image.empty, 80)).toEqual([]);
  });
});
