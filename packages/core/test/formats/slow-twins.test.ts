import { describe, expect, it } from "vitest";
import { fromLatin1 } from "../../src/bytes/text.js";
import type { Decoded } from "../../src/formats/decoded.js";
import { decodeIntelHex } from "../../src/formats/intel-hex.js";
import { decodeSRecord } from "../../src/formats/s-record.js";
import type { PlainReading } from "../reference/intel-hex.js";
import * as plainHex from "../reference/intel-hex.js";
import { randomFrom, seed } from "../reference/random.js";
import * as plainS from "../reference/s-record.js";
import { damaged, randomHexLines, randomSLines, randomText } from "./generated-files.js";

const formats = {
  "intel-hex": { decode: decodeIntelHex, plain: plainHex.readPlainly, lines: randomHexLines },
  "s-record": { decode: decodeSRecord, plain: plainS.readPlainly, lines: randomSLines },
} as const;

const inRecord = /(checksum|length|digit)-wrong$|digits-odd|record-cut|type-unknown|mark-missing|address-overflow/;

function readingOf({ image, findings }: Decoded): Pick<PlainReading, "memory" | "damagedLines"> {
  const memory = new Map<number, number>();
  for (const { address, bytes } of image.segments)
    for (const [i, byte] of bytes.entries()) memory.set(address + i, byte);
  const lines = findings.filter(({ code }) => inRecord.test(code)).map(({ where }) => where[0]?.line as number);
  return { memory, damagedLines: new Set(lines) };
}

const sorted = (memory: ReadonlyMap<number, number>) => [...memory].sort((a, b) => a[0] - b[0]);

describe.each(Object.entries(formats))("%s against its slow twin", (_format, { decode, plain, lines }) => {
  it.each([0, 1])(`reads the same from whole and damaged files (seed ${seed} and %i)`, (more) => {
    const random = randomFrom(seed + more);
    let withDamage = 0;
    for (let round = 0; round < 600; round++) {
      const whole = randomText(lines(random), random);
      const text = round % 3 === 0 ? whole : damaged(whole, random);
      const expected = plain(text);
      const decoded = decode(fromLatin1(text) as Uint8Array);
      const found = readingOf(decoded);
      const told = JSON.stringify(text);
      if (expected.damagedLines.size <= 100) expect([...found.damagedLines], told).toEqual([...expected.damagedLines]);
      expect(sorted(found.memory), told).toEqual(sorted(expected.memory));
      const codes = decoded.findings.map(({ code }) => code);
      expect(codes.includes("file/overlap-conflict"), told).toBe(expected.again.conflicting > 0);
      expect(
        codes.some((code) => /missing-end|end-left-out/.test(code)),
        told,
      ).toBe(!expected.ended && text.length > 0);
      if (expected.damagedLines.size > 0) withDamage++;
    }
    expect(withDamage).toBeGreaterThan(120);
  });
});
