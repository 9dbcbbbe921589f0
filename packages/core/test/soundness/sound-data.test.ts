import { describe, expect, it } from "vitest";
import { entryOf } from "../../src/findings/catalogue.js";
import { Image } from "../../src/image/image.js";
import { ask } from "../../src/rules/rule.js";
import { soundnessQuestion, soundnessRules } from "../../src/rules/soundness.js";
import { measureSoundness } from "../../src/soundness/measure.js";
import { loadCorpus, spread } from "./corpus.js";
import { chanceOf } from "./faults.js";
import { findingsOf } from "./table.js";

/**
 * Sound content of kinds that a statistic could take for a fault. Made up, but for the real images; what such memories
 * hold is common practice, no source.
 */
const chance = (seed: number) => {
  const below = chanceOf(seed);
  /** Roughly a bell curve around 0 with the given deviation. */
  const bell = (deviation: number) => {
    let sum = 0;
    for (let i = 0; i < 12; i++) sum += below(65536) / 65536;
    return Math.round((sum - 6) * deviation);
  };
  return { below, bell };
};

function words(count: number, littleEndian: boolean, value: (i: number) => number): Uint8Array {
  const bytes = new Uint8Array(2 * count);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < count; i++) view.setInt16(2 * i, value(i), littleEndian);
  return bytes;
}

function inPart(content: Uint8Array, size: number): Uint8Array {
  const bytes = new Uint8Array(size).fill(0xff);
  bytes.set(content.subarray(0, size));
  return bytes;
}

/** Maps of numbers from 0 to `limit`, each of which rises from row to row. */
function maps(limit: number, littleEndian: boolean): Uint8Array {
  const { below, bell } = chance(limit);
  let [base, step] = [0, 1];
  return words(8000, littleEndian, (i) => {
    if (i % 128 === 0) [base, step] = [below(limit / 2), 1 + below(Math.max(1, limit / 400))];
    return Math.min(limit - 1, Math.max(0, base + step * (i % 128) + bell(step)));
  });
}

/** What stops, and what only asks for a look. */
function told(bytes: Uint8Array, partSizes: readonly number[] = []) {
  const measures = measureSoundness(Image.of([{ address: 0, bytes }]), { exact: true, partSizes });
  const findings = ask(soundnessRules, "read", soundnessQuestion(measures)).flatMap(({ judgement }) =>
    "findings" in judgement ? (judgement.findings ?? []) : [],
  );
  const of = (severity: string) =>
    findings.filter((one) => entryOf(one).severity === severity).map(({ code }) => code as string);
  return { stop: of("stop"), review: of("review"), findings };
}

describe("calibration alone", () => {
  it.each([
    [4096, true],
    [4096, false],
    [10000, true],
    [10000, false],
    [16384, true],
    [16384, false],
  ])("has upper bits that never move below %i (little-endian: %s), which is no short", (limit, littleEndian) => {
    const { stop, review } = told(inPart(maps(limit, littleEndian), 32768));
    expect(stop).toEqual([]);
    expect(review).not.toContain("soundness/data-lines-doubtful");
  });
  it.each([true, false])("has upper bits that follow the sign: a look, no stop (little-endian: %s)", (littleEndian) => {
    const { bell } = chance(3);
    const bytes = inPart(
      words(12000, littleEndian, (i) => 6000 * Math.sin(i / 50) + bell(400)),
      32768,
    );
    expect(told(bytes)).toMatchObject({ stop: [], review: ["soundness/data-lines-doubtful"] });
  });
  it("has lines that are alike but for one mark: a look, no stop", () => {
    const { below } = chance(4);
    const bytes = Uint8Array.from({ length: 32768 }, (_, i) =>
      i % 64 === 0 ? 0xa5 : i % 64 === 1 ? i >> 6 : below(30),
    );
    expect(told(bytes)).toMatchObject({ stop: [], review: ["soundness/data-lines-doubtful"] });
  });
  it("still stops at two lines that are alike in all that stands beside them", () => {
    const { bell } = chance(3);
    const short = words(12000, false, (i) => 6000 * Math.sin(i / 50) + bell(400)).map((byte, i) =>
      i % 2 && !((byte >> 2) & (byte >> 5) & 1) ? byte & ~0x24 : byte,
    );
    expect(told(inPart(short, 32768)).stop).toEqual(["soundness/data-lines-shorted"]);
  });
});

describe("numbers of one kind", () => {
  it("asks for a look where all bytes are even", () => {
    const { bell } = chance(6);
    const bytes = Uint8Array.from(
      { length: 16384 },
      (_, i) => 2 * Math.max(0, Math.round(50 + 30 * Math.sin(i / 16) + bell(3))),
    );
    expect(told(bytes).stop).toEqual([]);
    expect(told(bytes).review).toContain("soundness/data-line-doubtful");
  });
  it("asks for a look at a list of even addresses", () => {
    const { below } = chance(7);
    const bytes = new Uint8Array(16384);
    const view = new DataView(bytes.buffer);
    for (let at = 0; at < bytes.length; at += 4) view.setUint32(at, 0x10000 + 2 * below(0x18000));
    expect(told(bytes).stop).toEqual([]);
    expect(told(bytes).review).toContain("soundness/data-line-doubtful");
  });
  it("still stops at an inner bit that stands still", () => {
    const { below } = chance(8);
    expect(told(Uint8Array.from({ length: 4096 }, () => below(256) & ~8)).stop).toContain("soundness/data-line-stuck");
  });
});

describe("records that are kept twice", () => {
  const record = ({ below }: ReturnType<typeof chance>, length: number) =>
    Array.from({ length }, (_, i) => (i < 4 ? below(4) : below(3) ? 40 + below(50) : below(256)));
  it.each([16, 32, 64, 128])("asks for a look when they take %i bytes", (length) => {
    const random = chance(length);
    const bytes = Uint8Array.from(
      Array.from({ length: 2048 / length }, () => record(random, length)).flatMap((one) => [...one, ...one]),
    );
    const { stop, review, findings } = told(bytes);
    expect(stop).toEqual([]);
    expect(review).toContain("soundness/records-alike");
    expect(findings.find(({ code }) => code === "soundness/records-alike")?.facts).toMatchObject({
      lines: [Math.log2(length)],
    });
  });
  it("says nothing of a part size when both halves are alike and a profile gave it", () => {
    const random = chance(9);
    const half = Array.from({ length: 32 }, () => record(random, 32)).flat();
    const { findings } = told(Uint8Array.from([...half, ...half]), [2048]);
    const alike = findings.find(({ code }) => code === "soundness/halves-alike");
    expect(alike).toBeDefined();
    expect(JSON.stringify(alike && entryOf(alike))).not.toMatch(/no stated part size|profile that states it/);
  });
});

/** 68000 instructions (M68000 Family Programmer's Reference Manual): rts, jsr, move, bcc, moveq, add, movem. */
function ofFewHabits(length: number, seed: number): Uint8Array {
  const { below } = chance(seed);
  const bytes: number[] = [];
  while (bytes.length < length) {
    const kind = below(12);
    if (kind === 0) bytes.push(0x4e, 0x75);
    else if (kind < 3) bytes.push(0x30 + 2 * below(5), 0x39, 0, 0x10, 0x20 + below(64), 2 * below(128));
    else if (kind < 5) bytes.push(0x33, 0xc0 + below(5), 0, 0x10, 0x20 + below(64), 2 * below(128));
    else if (kind < 7) bytes.push([0x66, 0x67, 0x6e, 0x60][below(4)] as number, 2 + 2 * below(62));
    else if (kind < 9) bytes.push(0x4e, 0xb9, 0, 0, 0x10 + below(160), 2 * below(128));
    else if (kind === 9) bytes.push(0x70 + 2 * below(8), below(256));
    else if (kind === 10) bytes.push(0xd0 + 2 * below(6), 0x40 + below(8));
    else bytes.push(0x20 + 2 * below(8), 0x40 + below(64));
  }
  return Uint8Array.from(bytes.slice(0, length));
}

describe("code", () => {
  it.each([1, 2, 3, 4])("is in order though another one would make one habit of it a known one (%i)", (seed) =>
    expect(told(inPart(ofFewHabits(40000, seed), 65536)).stop).toEqual([]),
  );
  it("is no misplaced part when each byte is followed by its complement", () => {
    const bytes = Uint8Array.from([...ofFewHabits(16384, 5)].flatMap((byte) => [byte, byte ^ 0xff]));
    expect(told(bytes).stop).toEqual([]);
  });
});

const images = loadCorpus().filter(({ bytes }) => bytes.length <= 2 ** 17);

/** `bytes` at the end of a part that is at least four times as large, erased below. */
function atEnd(bytes: Uint8Array): Uint8Array {
  const size = 4 * 2 ** Math.ceil(Math.log2(bytes.length));
  const whole = new Uint8Array(size).fill(0xff);
  whole.set(bytes, size - bytes.length);
  return whole;
}

it.runIf(images.length > 0)("leaves real images at the end of a larger part alone", { timeout: 240_000 }, () => {
  const stops = spread(images, 60).filter(({ bytes }) => findingsOf(atEnd(bytes)).stop);
  expect(stops.map(({ name }) => name)).toEqual([]);
});

it.runIf(images.length > 1)("leaves two real images with fill between them alone", { timeout: 240_000 }, () => {
  const some = spread(images, 40);
  const stops = some.flatMap(({ bytes, name }, i) => {
    const both = atEnd(bytes);
    const other = some[(i + 1) % some.length] as (typeof some)[number];
    both.set(other.bytes.subarray(0, both.length / 4));
    return findingsOf(both).stop ? [name] : [];
  });
  expect(stops).toEqual([]);
});
