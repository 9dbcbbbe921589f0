import { afterEach, describe, expect, it, vi } from "vitest";
import { fromLatin1 } from "../../src/bytes/text.js";
import { decode } from "../../src/formats/decode.js";
import { DigitWriter } from "../../src/formats/digit-writer.js";
import { encode } from "../../src/formats/encode.js";
import { readPlainRecords } from "../../src/formats/plain-records.js";
import { readByScript } from "../../src/formats/plain-script.js";
import { recordKernel } from "../../src/formats/record-kernel.js";
import { hexData, type RecordShape, sData } from "../../src/formats/record-shape.js";
import type { Cursor } from "../../src/formats/text.js";
import { ImageBuilder } from "../../src/image/builder.js";
import { Image } from "../../src/image/image.js";
import { type Random, randomFrom, seed } from "../reference/random.js";
import { damaged, hexRecord, randomHexLines, randomSLines, sRecord } from "./generated-files.js";

// The kernel against its twins in plain words, which the tests of the formats hold against published cases and other tools.

const kernel = recordKernel(2 ** 20);
const bytesOf = (text: string) => fromLatin1(text) as Uint8Array;

const shapes: Readonly<Record<string, { shape: RecordShape; record: (address: number, data: Uint8Array) => string }>> =
  {
    "Intel HEX": { shape: hexData, record: (address, data) => hexRecord(0, address, data) },
    S1: { shape: sData(2), record: (address, data) => sRecord(1, address, data) },
    S2: { shape: sData(3), record: (address, data) => sRecord(2, address, data) },
    S3: { shape: sData(4), record: (address, data) => sRecord(3, address, data) },
  };

type Read = (bytes: Uint8Array, cursor: Cursor, shape: RecordShape, base: number, builder: ImageBuilder) => number;

const kernelThenScript: Read = (...all) => (kernel?.read(...all) ?? 0) + readByScript(...all);

/** All that reading leaves behind: where it stopped, the memory, what met in it, and the way back from its bytes. */
function leftBy(read: Read, bytes: Uint8Array, shape: RecordShape, base: number) {
  const cursor: Cursor = { at: 0, line: 1, lineStart: 0 };
  const builder = new ImageBuilder(bytes.length >>> 1);
  const records = read(bytes, cursor, shape, base, builder);
  const { image, equal, conflicting, traceOf } = builder.build();
  const { segments } = image;
  const traces = segments.flatMap(({ address, bytes: { length } }) =>
    Array.from({ length: Math.ceil(length / 97) }, (_, i) => traceOf(address + 97 * i)),
  );
  return { cursor, records, used: builder.used, segments, equal, conflicting, traces };
}

function agree(bytes: Uint8Array, shape: RecordShape, base = 0) {
  const expected = leftBy(readByScript, bytes, shape, base);
  expect(leftBy(kernelThenScript, bytes, shape, base)).toEqual(expected);
  return expected;
}

describe.each(Object.entries(shapes))("the kernel reads %s as its twin does", (_name, { shape, record }) => {
  const most = 255 - shape.counted - (shape.typed ? 0 : 1);

  it("with data of every length, and any line end", () => {
    const random = randomFrom(seed);
    for (const lineEnd of ["\n", "\r\n", "\r"]) {
      for (let length = 0; length <= most; length++) {
        const lines = [0, 1, 2].map((i) => record(256 + i * length, random.bytes(length)));
        const { records, used } = agree(bytesOf(lines.join(lineEnd) + lineEnd), shape);
        expect([records, used]).toEqual(length === 0 ? [0, 0] : [3, 3 * length]);
      }
    }
  });

  it("whatever character stands in any place, in capitals and not", () => {
    const data = Uint8Array.from({ length: 21 }, (_, i) => (i * 37 + 200) & 0xff);
    const text = `${record(0x12ab, data)}\r\n${record(0x12c0, data).toLowerCase().replace(/^s/, "S")}\r\n`;
    const whole = bytesOf(text);
    let refused = 0;
    for (let at = 0; at < whole.length; at++) {
      for (let character = 0; character < 256; character++) {
        const changed = whole.slice();
        changed[at] = character;
        const { records } = agree(changed, shape);
        if (records < 2) refused++;
      }
    }
    expect(refused).toBeGreaterThan(whole.length * 230);
  });

  it("with two digits changed so that the sum still holds, or one into what looks alike to it", () => {
    const text = record(0x40, Uint8Array.of(0x10, 0x90, 0x39, 0x0a));
    for (const [from, to] of [
      ["9", "@"],
      ["9", "`"],
      ["0", "O"],
      ["A", "*"],
      ["1", "/"],
      ["0", "\u00b0"],
    ] as const) {
      for (let at = text.indexOf(from, 2); at > 0; at = text.indexOf(from, at + 1)) {
        expect(agree(bytesOf(`${text.slice(0, at)}${to}${text.slice(at + 1)}\n`), shape).records).toBe(0);
      }
    }
    const swapped = text.replace("1090", "9010");
    expect(agree(bytesOf(`${swapped}\n`), shape).records).toBe(1);
  });

  it("cut anywhere, with and without what comes behind", () => {
    const lines = [0, 16, 32].map((from) =>
      record(
        0x80 + from,
        Uint8Array.from({ length: 16 }, (_, i) => from + i),
      ),
    );
    const whole = bytesOf(`${lines.join("\r\n")}\r\n`);
    for (let end = 0; end <= whole.length; end++) agree(whole.slice(0, end), shape);
  });

  it("up to the last address and not past it", () => {
    const end = 256 ** shape.addressLength;
    for (const from of [end - 17, end - 16, end - 15, end - 1]) {
      const { records } = agree(bytesOf(`${record(from, new Uint8Array(16))}\n`), shape);
      expect(records).toBe(from <= end - 16 ? 1 : 0);
    }
    const runsOn = [record(end - 16, new Uint8Array(16)), record(0, new Uint8Array(16))];
    expect(agree(bytesOf(`${runsOn.join("\n")}\n`), shape).records).toBe(2);
  });

  it(`in files of many pieces, with jumps, overlaps and damage (seed ${seed})`, () => {
    const random = randomFrom(seed);
    let long = 0;
    for (let round = 0; round < 60; round++) {
      const text = randomRecords(random, record, most);
      const bytes = bytesOf(text);
      const { used } = agree(bytes, shape, round % 2 === 0 ? 0 : 0x80000);
      if (used > 20_000) long++;
    }
    expect(long).toBeGreaterThan(15);
  });
});

describe.each(Object.entries(shapes))("the kernel writes %s as its twin does", (_name, { shape }) => {
  const most = 255 - shape.counted - (shape.typed ? 0 : 1);
  const end = 256 ** shape.addressLength;
  const random = randomFrom(seed);

  function agree(data: Uint8Array, address: number, step: number, lineEnd: Uint8Array) {
    const room = Math.ceil(data.length / step) * (16 + lineEnd.length) + 2 * data.length + 6;
    const slow = new DigitWriter(room, lineEnd);
    slow.record("S0", 0xff, [[3, 1]]); // so that neither begins at 0
    const text = slow.bytes.slice();
    const at = 6 + lineEnd.length;
    slow.dataByScript(shape, data, 0, data.length, address, step);
    const reached = kernel?.write(shape, data, address, step, lineEnd, text, at);
    expect(Buffer.compare(text, slow.bytes)).toBe(0);
    expect(text.subarray(reached).every((byte) => byte === 0)).toBe(true);
    return reached;
  }

  it("in records of every length, with either line end", () => {
    for (const lineEnd of [Uint8Array.of(0x0a), Uint8Array.of(0x0d, 0x0a)]) {
      for (let step = 1; step <= most; step++) {
        agree(random.bytes(1 + random.below(600)), random.below(60_000), step, lineEnd);
      }
    }
  });

  it("over several pieces, to the last address", () => {
    for (const step of [1, 7, 16, 32, most]) {
      const data = random.bytes(20_000 + random.below(40));
      expect(agree(data, end - data.length, step, Uint8Array.of(0x0a))).toBeGreaterThan(40_000);
    }
  });

  it("every value of a byte in every place", () => {
    for (let shift = 0; shift < 16; shift++) {
      const data = Uint8Array.from({ length: 256 }, (_, i) => i + shift);
      agree(data, 0x1234, 32, Uint8Array.of(0x0a));
    }
  });
});

/** Records enough for several pieces, mostly one behind the other. */
function randomRecords(random: Random, record: (address: number, data: Uint8Array) => string, most: number): string {
  const usual = 1 + random.below(most);
  const lineEnd = ["\n", "\r\n", "\r"][random.below(3)] as string;
  const odd = random.below(3) === 0 ? 2 : 400;
  let address = random.below(2000);
  let text = "";
  for (let bytes = 0; bytes < 50_000; ) {
    const length = random.below(odd) === 0 ? 1 + random.below(most) : usual;
    if (random.below(odd) === 0) address = random.below(10_000);
    if (address + length > 0x10000) address = 0;
    text += record(address, random.bytes(length)) + lineEnd;
    address += length;
    bytes += length;
  }
  if (random.below(2) > 0) return text;
  const at = random.below(text.length);
  return text.slice(0, at) + String.fromCharCode(random.below(256)) + text.slice(at + random.below(3));
}

it("leaves nothing of one call for the next", () => {
  const record = (fill: number) => hexRecord(0, 0, new Uint8Array(32).fill(fill));
  agree(bytesOf(`${record(0xff)}\n`.repeat(2)), hexData);
  for (const end of [1, 5, 11, 40, 74, 75]) agree(bytesOf(record(0x11).slice(0, end)), hexData);
});

describe("a whole file above the size from which the kernel is used", () => {
  afterEach(() => {
    vi.unstubAllGlobals();
    vi.resetModules();
  });

  const random = randomFrom(seed);
  const files = [randomHexLines, randomSLines].flatMap((lines) =>
    [0, 1, 2, 3].map(() => {
      let text = "";
      while (text.length < 70_000)
        text += `${lines(random)
          .filter((line) => !/^(:00000001|S[789])/.test(line))
          .join("\n")}\n`;
      return bytesOf(random.below(2) > 0 ? text : damaged(text, random));
    }),
  );
  const told = ({ image, findings, format }: ReturnType<typeof decode>) => ({
    segments: image.segments,
    findings,
    format,
  });

  it.each(["absent", "forbidden"])(`is read the same where WebAssembly is %s (seed ${seed})`, async (how) => {
    const forbid = () => {
      throw new Error("forbidden");
    };
    const stub = how === "absent" ? undefined : { Module: forbid, Instance: forbid };
    vi.resetModules();
    vi.stubGlobal("WebAssembly", stub);
    const plain = await import("../../src/formats/record-kernel.js");
    expect(plain.recordKernel(2 ** 20)).toBeUndefined();
    const { decode: decodeWithout } = await import("../../src/formats/decode.js");
    for (const file of files) expect(told(decodeWithout(file))).toEqual(told(decode(file)));
    const { encode: encodeWithout } = await import("../../src/formats/encode.js");
    const image = Image.of([{ address: 0x8000, bytes: random.bytes(100_000) }]);
    for (const format of ["intel-hex", "s-record"] as const) {
      expect(Buffer.compare(encodeWithout(image, format), encode(image, format))).toBe(0);
    }
  });

  it("is read by it", () => {
    expect(kernel).toBeDefined();
    expect(recordKernel(65_535)).toBeUndefined();
    const long = bytesOf(
      Array.from({ length: 1000 }, (_, i) => `${hexRecord(0, 32 * i, new Uint8Array(32))}\n`).join(""),
    );
    const cursor = { at: 0, line: 1, lineStart: 0 };
    const builder = new ImageBuilder(long.length >>> 1);
    expect(kernel?.read(long, cursor, hexData, 0, builder)).toBe(1000);
    expect(cursor).toEqual({ at: long.length, line: 1001, lineStart: long.length });
    expect(readPlainRecords(long, { at: 0, line: 1, lineStart: 0 }, hexData, 0, new ImageBuilder(long.length))).toBe(
      1000,
    );
  });
});
