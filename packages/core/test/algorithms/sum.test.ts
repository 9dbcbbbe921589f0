import { deflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { algorithmNamed } from "../../src/algorithms/algorithm.js";
import { onesComplement, startSum, twosComplement } from "../../src/algorithms/sum.js";
import { type SumRow, sumCatalogue } from "../../src/algorithms/sum-catalogue.js";
import { fromHex } from "../../src/bytes/hex.js";
import { readBigUint } from "../../src/bytes/word.js";
import { randomFrom, seed } from "../reference/random.js";
import { slowSum } from "../reference/sum.js";
import { standard, type Vector, xcpPattern } from "./vectors.js";

const rows: readonly SumRow[] = sumCatalogue;

function sumOf(name: string, ...pieces: Uint8Array[]): bigint {
  const running = algorithmNamed(name).start();
  for (const piece of pieces) running.update(piece);
  return running.value();
}

type Form = (value: bigint, width: number) => bigint;
const plain: Form = (value) => value;

/** The algorithms of sums-vectors.json in our names, and the form in which the vector gives the value. */
const named: Readonly<Record<string, readonly [name: string, form?: Form]>> = {
  "fletcher-16 (mod 255, result = sum2<<8 | sum1)": ["fletcher16"],
  "fletcher-8-bit-sums mod 256 (sum2<<8 | sum1)": ["fletcher16-mod256"],
  "fletcher-32 (16-bit little-endian words, zero padded, mod 65535, sum2<<16 | sum1)": ["fletcher32"],
  "fletcher-64 (32-bit little-endian words, zero padded, mod 2^32-1)": ["fletcher64"],
  "adler-32 (RFC 1950: mod 65521, s1 starts 1, result s2<<16 | s1, stored big-endian in zlib)": ["adler32"],
  "internet one's complement sum (before final inversion)": ["sum16-carry-be"],
  "internet checksum (RFC 1071: inverted sum, big-endian words)": ["internet"],
  "BSD sum (16-bit rotate right then add)": ["bsd-sum"],
  "System V sum (32-bit byte sum folded twice)": ["system-v-sum"],
  "xor-8 (NMEA 0183: characters between $ and *)": ["xor8"],
  "xor-8 (ISO 1155 LRC, 8-bit)": ["xor8"],
  "sum-8 two's complement (Modbus ASCII LRC: negated byte sum)": ["sum8", twosComplement],
  "sum-8 (bytes, mod 2^8)": ["sum8"],
  "sum-8 one's complement (inverted)": ["sum8", onesComplement],
  "sum-8 two's complement (negated)": ["sum8", twosComplement],
  "sum-16 of bytes": ["sum16-bytes"],
  "sum-32 of bytes": ["sum32-bytes"],
  "sum-64 of 64-bit little-endian words": ["sum64-le"],
  ...Object.fromEntries(
    (["little", "big"] as const).flatMap((order) => {
      const [words16, words32] = [`16-bit ${order}-endian words`, `32-bit ${order}-endian words`];
      const end = order === "little" ? "le" : "be";
      return [
        [`sum-16 of ${words16}`, [`sum16-${end}`]],
        [`sum-16 of ${words16}, two's complement (negated)`, [`sum16-${end}`, twosComplement]],
        [`sum-16 of ${words16}, end-around carry`, [`sum16-carry-${end}`]],
        [`sum-32 of ${words16}`, [`sum32-words16-${end}`]],
        [`sum-32 of ${words32}`, [`sum32-${end}`]],
        [`sum-32 of ${words32}, two's complement (negated)`, [`sum32-${end}`, twosComplement]],
        [`sum-32 of ${words32}, end-around carry`, [`sum32-carry-${end}`]],
        [`xor-16 of ${words16}`, [`xor16-${end}`]],
        [`xor-32 of ${words32}`, [`xor32-${end}`]],
      ];
    }),
  ),
};

function ownName({ algorithm, wordByteOrder }: Vector): readonly [name: string, form?: Form] {
  if (!algorithm.startsWith("XCP_")) {
    return named[algorithm] ?? expect.fail(`no algorithm of ours stands for "${algorithm}"`);
  }
  return [wordByteOrder === "any" ? algorithm : `${algorithm}_${wordByteOrder === "big-endian" ? "BE" : "LE"}`];
}

// Sources stand in the vectors: RFC 1071, RFC 1950, ASAM MCD-1 XCP and others; "computed here" where none is published.
describe("the vectors", () => {
  const { vectors } = standard("sums-vectors");

  it.each(vectors)("$algorithm of $message", (vector) => {
    const [name, form = plain] = ownName(vector);
    const message = fromHex(vector.message);
    const expected = BigInt(vector.value as string);
    expect(form(sumOf(name, message), algorithmNamed(name).width)).toBe(expected);
    for (let cut = 0; cut <= message.length; cut++) {
      const value = sumOf(name, message.subarray(0, cut), message.subarray(cut));
      expect(form(value, algorithmNamed(name).width), `cut at ${cut}`).toBe(expected);
    }
  });

  it("are all there", () => expect(vectors.length).toBe(169));
});

// RFC 1071, section 3: with the checksum in place the one's complement sum is all ones. The header is the common example.
it("a header with its internet checksum sums to all ones", () => {
  const header = fromHex("4500007300004000 4011b861c0a80001c0a800c7".replaceAll(" ", ""));
  expect(sumOf("sum16-carry-be", header)).toBe(0xffffn);
  expect(sumOf("internet", header)).toBe(0n);
});

// RFC 1950: the last four bytes of a zlib stream are the Adler-32 of its content, high byte first.
it("Adler-32 is what zlib puts at the end of a stream", () => {
  const random = randomFrom(seed);
  for (const length of [0, 1, 63, 64, 65, 5551, 5553, 40_000, 300_001]) {
    const bytes = length === 300_001 ? new Uint8Array(length).fill(0xff) : random.bytes(length);
    expect(sumOf("adler32", bytes), `${length} bytes`).toBe(readBigUint(deflateSync(bytes).subarray(-4), "big"));
  }
});

// Value made with GNU coreutils, sum -s.
it("System V sum folds a carry of its first folding in as well", () => {
  const bytes = new Uint8Array(515).fill(0xff);
  bytes[514] = 1;
  expect(sumOf("system-v-sum", bytes)).toBe(1n);
});

describe.each(rows)("$name", (row) => {
  const { word, multipleOf = 1 } = row;

  it("gives its check value", () => {
    expect(sumOf(row.name, xcpPattern)).toBe(row.check);
    expect(slowSum(row, xcpPattern)).toBe(row.check);
  });

  it(`is the slow twin's at any length and place, cut anywhere, seed ${seed}`, () => {
    const random = randomFrom(seed);
    const data = random.bytes(9000);
    for (let round = 0; round < 60; round++) {
      const start = random.below(40);
      const most = round < 55 ? 300 : 8000;
      const length = Math.floor(random.below(most) / multipleOf) * multipleOf;
      const message = data.subarray(start, start + length);
      const cuts = [0, random.below(length + 1), random.below(length + 1), length].sort((a, b) => a - b);
      const pieces = cuts.slice(1).map((end, i) => message.subarray(cuts[i], end));
      expect(sumOf(row.name, ...pieces), `${length} bytes from ${start}, cut at ${cuts}`).toBe(slowSum(row, message));
    }
  });

  it("is the slow twin's over nothing but FF", () => {
    const bytes = new Uint8Array(40_000).fill(0xff);
    expect(sumOf(row.name, bytes)).toBe(slowSum(row, bytes));
  });

  it(`takes a fill for what it stands for, seed ${seed}`, () => {
    const random = randomFrom(seed);
    const data = random.bytes(100);
    const counts = [0, 1, 2, 3, 5, 8, 13, 1000, 70_001, 200_000];
    for (const count of counts) {
      const [before, byte] = [random.below(9), random.below(256)];
      const after = 8 * multipleOf - ((before + count) % multipleOf);
      const [filled, fed] = [startSum(row), startSum(row)];
      for (const running of [filled, fed]) {
        running.update(data.subarray(0, before));
        if (running === filled) running.fill(byte, count);
        else running.update(new Uint8Array(count).fill(byte));
        running.update(data.subarray(before, before + after));
      }
      expect(filled.value(), `${count} times ${byte} behind ${before}`).toBe(fed.value());
    }
  });

  it("takes fills longer than memory", () => {
    const [once, twice] = [startSum(row), startSum(row)];
    once.fill(0xff, 2 ** 50);
    twice.fill(0xff, 2 ** 49 + 12_345);
    twice.fill(0xff, 2 ** 49 - 12_345);
    expect(once.value()).toBe(twice.value());
    expect(() => once.fill(256, 1)).toThrow(RangeError);
    expect(() => once.fill(0, 1.5)).toThrow(RangeError);
  });

  it("may be asked at any point", () => {
    const running = startSum(row);
    for (let at = 0; at < 32; at += 8) {
      running.update(xcpPattern.subarray(at, at + 8));
      expect(running.value()).toBe(slowSum(row, xcpPattern.subarray(0, at + 8)));
    }
  });

  it("has no value for a length that is no multiple, and any length where none is asked for", () => {
    for (let length = 0; length <= 2 * word; length++) {
      const value = () => sumOf(row.name, xcpPattern.subarray(0, length));
      if (length % multipleOf === 0) expect(value()).toBe(slowSum(row, xcpPattern.subarray(0, length)));
      else expect(value).toThrow(RangeError);
    }
  });
});

describe("complements", () => {
  it("of a value add up with it to all ones and to nothing", () => {
    for (const width of [8, 16, 32, 64]) {
      for (const value of [0n, 1n, (1n << BigInt(width)) - 1n, 0x5an]) {
        expect(value + onesComplement(value, width)).toBe((1n << BigInt(width)) - 1n);
        expect(BigInt.asUintN(width, value + twosComplement(value, width))).toBe(0n);
        expect(BigInt.asUintN(width, twosComplement(value, width))).toBe(twosComplement(value, width));
      }
    }
  });
});
