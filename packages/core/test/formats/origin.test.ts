import { describe, expect, it } from "vitest";
import { fromLatin1 } from "../../src/bytes/text.js";
import { decode } from "../../src/formats/decode.js";
import type { Decoded } from "../../src/formats/decoded.js";
import { decodeIntelHex } from "../../src/formats/intel-hex.js";
import { decodeParts } from "../../src/formats/part-files.js";
import { decodeRaw } from "../../src/formats/raw.js";
import { decodeSRecord } from "../../src/formats/s-record.js";
import { randomFrom, seed } from "../reference/random.js";
import { damaged, hexRecord, randomHexLines, randomSLines, randomText, sRecord } from "./generated-files.js";

const bytesOf = (text: string) => fromLatin1(text) as Uint8Array;

/** The byte of memory at `address`, read from the text at the place that `originOf` names. */
function byteAtOrigin(text: string, decoded: Decoded, address: number): number | undefined {
  const origin = decoded.originOf(address);
  if (!origin) return undefined;
  const record = /^(:|[Ss]\d)[0-9A-Fa-f]+/.exec(text.slice(origin.offset))?.[0] ?? "";
  const lines = text.slice(0, origin.offset).split(/\r\n|\r|\n/).length;
  if (lines !== origin.line) return undefined;
  const bytes = (record.slice(record.startsWith(":") ? 1 : 2).match(/../g) ?? []).map((pair) =>
    Number.parseInt(pair, 16),
  );
  const width = record.startsWith(":") ? 2 : Number(record[1]) + 1;
  const field = bytes.slice(1, 1 + width).reduce((value, byte) => 256 * value + byte, 0);
  // The bases of the files here are multiples of 16 of which only the low half matters to a difference of offsets.
  const head = record.startsWith(":") ? 4 : 1 + width;
  const data = bytes.slice(head, record.startsWith(":") ? 4 + (bytes[0] as number) : (bytes[0] as number));
  const base = baseBefore(text, origin.offset);
  const index = data.findIndex((_, i) => address === wrapped(base, field, i));
  return index < 0 ? undefined : data[index];
}

interface Base {
  readonly address: number;
  readonly segmented: boolean;
}

function baseBefore(text: string, offset: number): Base {
  const records = [...text.slice(0, offset).matchAll(/:02[0-9A-Fa-f]{4}0([24])([0-9A-Fa-f]{4})[0-9A-Fa-f]{2}/g)];
  const [, type, value = "0"] = records.at(-1) ?? [];
  if (!type) return { address: 0, segmented: false };
  return { address: Number.parseInt(value, 16) * (type === "2" ? 16 : 65536), segmented: type === "2" };
}

const wrapped = ({ address, segmented }: Base, field: number, i: number) =>
  segmented ? address + ((field + i) % 0x10000) : (address + field + i) % 2 ** 32;

describe("the place in its file that a byte came from", () => {
  it.each([
    ["intel-hex", decodeIntelHex, randomHexLines],
    ["s-record", decodeSRecord, randomSLines],
  ] as const)(`holds that byte in %s, over overlaps, wraps and remarks (seed ${seed})`, (_format, read, lines) => {
    const random = randomFrom(seed);
    let looked = 0;
    for (let round = 0; round < 100; round++) {
      const text = randomText(lines(random), random);
      const decoded = read(bytesOf(text));
      const wrong: number[] = [];
      for (const { address, bytes } of decoded.image.segments) {
        for (let i = 0; i < bytes.length; i += random.below(7) + 1) {
          looked++;
          if (byteAtOrigin(text, decoded, address + i) !== bytes[i]) wrong.push(address + i);
        }
      }
      expect(wrong, JSON.stringify(text)).toEqual([]);
    }
    expect(looked).toBeGreaterThan(1000);
  });

  it("is found for every known address of a damaged file, and for no other", () => {
    const random = randomFrom(seed);
    for (let round = 0; round < 100; round++) {
      const decoded = decodeSRecord(bytesOf(damaged(randomText(randomSLines(random), random), random)));
      for (const { start, end } of decoded.image.spans) {
        expect(decoded.originOf(start)?.line).toBeGreaterThan(0);
        expect(decoded.originOf(end - 1)?.line).toBeGreaterThan(0);
        if (decoded.image.byteAt(end) === undefined) expect(decoded.originOf(end)).toBeUndefined();
      }
    }
  });

  it("is the first of two records that give the byte", () => {
    const text = `${hexRecord(0, 0x10, Uint8Array.of(1, 2))}\n${hexRecord(0, 0x11, Uint8Array.of(9, 3))}\n:00000001FF\n`;
    const { originOf } = decodeIntelHex(bytesOf(text));
    expect([0x10, 0x11, 0x12].map(originOf)).toEqual([
      { offset: 0, line: 1 },
      { offset: 0, line: 1 },
      { offset: 16, line: 2 },
    ]);
  });

  it("is found in the middle of a long run", () => {
    const lines = Array.from({ length: 4096 }, (_, i) => sRecord(3, 0x80000000 + 16 * i, new Uint8Array(16).fill(i)));
    const { originOf } = decodeSRecord(bytesOf(`${lines.join("\r\n")}\r\n`));
    expect(originOf(0x80000000 + 16 * 4000 + 7)).toEqual({ offset: 4000 * 48, line: 4001 });
  });

  it("is the offset in a raw file, whatever its layout", () => {
    const { image, originOf } = decode(Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8), {
      format: "raw",
      base: 0x100,
      layout: "swap-32",
    });
    expect([...(image.segments[0]?.bytes ?? [])]).toEqual([4, 3, 2, 1, 8, 7, 6, 5]);
    expect([0xff, 0x100, 0x105, 0x107, 0x108].map((at) => originOf(at)?.offset)).toEqual([
      undefined,
      3,
      6,
      4,
      undefined,
    ]);
  });

  it("is the record in a text file whose words were swapped", () => {
    const text = `${hexRecord(0, 0x10, Uint8Array.of(1, 2))}\n${hexRecord(0, 0x12, Uint8Array.of(3, 4))}\n:00000001FF\n`;
    const { image, originOf } = decode(bytesOf(text), { layout: "swap-32" });
    expect([...(image.segments[0]?.bytes ?? [])]).toEqual([4, 3, 2, 1]);
    expect([0x10, 0x13].map((at) => originOf(at)?.line)).toEqual([2, 1]);
  });

  it("names the part and the offset in it", () => {
    const parts = [Uint8Array.of(1, 2, 5, 6), Uint8Array.of(3, 4, 7, 8)].map((bytes) => decodeRaw(bytes));
    const whole = decodeParts(parts, { arrangement: "interleaved", unit: 2, base: 8 });
    expect([...(whole.image.segments[0]?.bytes ?? [])]).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(whole.originOf(8 + 5)).toEqual({ part: 0, offset: 3 });
    expect(whole.originOf(8 + 6)).toEqual({ part: 1, offset: 2 });
    const joined = decodeParts(parts, { arrangement: "joined", layout: "swap-16" });
    expect([...(joined.image.segments[0]?.bytes ?? [])]).toEqual([2, 1, 6, 5, 4, 3, 8, 7]);
    expect(joined.originOf(4)).toEqual({ part: 1, offset: 1 });
    expect(joined.originOf(8)).toBeUndefined();
    expect(decodeRaw(Uint8Array.of(7)).originOf(0)).toEqual({ offset: 0 });
  });
});
