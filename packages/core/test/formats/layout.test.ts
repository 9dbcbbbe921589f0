import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { decode } from "../../src/formats/decode.js";
import type { Decoded } from "../../src/formats/decoded.js";
import { layoutNames, offsetBefore, rearranged, rearrangedImage } from "../../src/formats/layout.js";
import { decodeParts } from "../../src/formats/part-files.js";
import { interleaved, joinedParts, placeInPart } from "../../src/formats/parts.js";
import { decodeRaw } from "../../src/formats/raw.js";
import { Image } from "../../src/image/image.js";
import { randomFrom, seed } from "../reference/random.js";

const bytes = (...values: number[]) => Uint8Array.from(values);
const refusal = (work: () => unknown) => {
  try {
    work();
  } catch (error) {
    if (error instanceof Refusal) return [error.code, error.message];
    throw error;
  }
  return undefined;
};

describe("a layout", () => {
  // The DataView of the language is the witness: it reads the same word in both orders.
  it.each([
    ["as-is", (view: DataView, at: number) => view.getUint32(at)],
    ["swap-16", (view: DataView, at: number) => view.getUint16(at, true) * 0x10000 + view.getUint16(at + 2, true)],
    ["swap-32", (view: DataView, at: number) => view.getUint32(at, true)],
    ["swap-halves-32", (view: DataView, at: number) => view.getUint16(at + 2) * 0x10000 + view.getUint16(at)],
  ] as const)(`%s reads words as they are meant (seed ${seed})`, (layout, word) => {
    const file = randomFrom(seed).bytes(64);
    const memory = rearranged(file, layout);
    const [before, after] = [file, memory].map((of) => new DataView(of.buffer)) as [DataView, DataView];
    for (let at = 0; at < 64; at += 4) expect(after.getUint32(at)).toBe(word(before, at));
    for (let at = 0; at < 64; at++) expect(memory[at]).toBe(file[offsetBefore(at, layout)]);
  });

  it("undoes itself", () => {
    const file = randomFrom(1).bytes(32);
    for (const layout of layoutNames) expect(rearranged(rearranged(file, layout), layout)).toEqual(file);
    expect(layoutNames).toEqual(["as-is", "swap-16", "swap-32", "swap-halves-32"]);
  });

  it("does not go with a part of a word", () => {
    expect(refusal(() => rearranged(new Uint8Array(7), "swap-16"))).toEqual([
      "file/layout-odd",
      "layout swap-16: expected a multiple of 2 bytes, got 7",
    ]);
    expect(refusal(() => decode(new Uint8Array(6), { format: "raw", layout: "swap-32" }))?.[0]).toBe("file/layout-odd");
    const image = Image.of([{ address: 2, bytes: new Uint8Array(4) }]);
    expect(refusal(() => rearrangedImage(image, "swap-32"))).toEqual([
      "file/layout-odd",
      "layout swap-32: expected pieces of whole words of 4 bytes, got 4 bytes from 0x00000002",
    ]);
    expect(rearrangedImage(image, "swap-16").spans).toEqual(image.spans);
    expect(rearrangedImage(image, "as-is")).toBe(image);
  });
});

describe("part files", () => {
  it("interleave in the order given", () => {
    expect(interleaved([bytes(1, 3), bytes(2, 4)])).toEqual(bytes(1, 2, 3, 4));
    expect(interleaved([bytes(2, 4), bytes(1, 3)])).toEqual(bytes(2, 1, 4, 3));
    expect(interleaved([bytes(1, 2, 5, 6), bytes(3, 4, 7, 8)], 2)).toEqual(bytes(1, 2, 3, 4, 5, 6, 7, 8));
    expect(interleaved([bytes(1, 5), bytes(2, 6), bytes(3, 7), bytes(4, 8)])).toEqual(bytes(1, 2, 3, 4, 5, 6, 7, 8));
  });

  it("join one behind the other, of any sizes", () => {
    expect(joinedParts([bytes(1), bytes(2, 3)])).toEqual(bytes(1, 2, 3));
  });

  it.each([
    [2, 1],
    [4, 1],
    [2, 2],
    [4, 2],
  ])("come together so that each byte is told its part: %i parts of %i bytes", (count, unit) => {
    const random = randomFrom(seed);
    const parts = Array.from({ length: count }, () => random.bytes(64 / count));
    const whole = interleaved(parts, unit);
    expect(whole.length).toBe(64);
    for (let at = 0; at < 64; at++) {
      const { part, offset } = placeInPart(at, count, unit);
      expect(parts[part]?.[offset]).toBe(whole[at]);
    }
  });

  it("that do not fit together are refused", () => {
    expect(refusal(() => interleaved([bytes(1)]))).toEqual(["file/parts-count", "part files: expected 2 or 4, got 1"]);
    expect(refusal(() => interleaved([bytes(1), bytes(1, 2)]))?.[1]).toBe(
      "part files: expected one size, got 1, 2 bytes",
    );
    expect(refusal(() => interleaved([bytes(1), bytes(2)], 2))?.[0]).toBe("file/layout-odd");
    expect(refusal(() => interleaved([bytes(1), bytes(2)], 3))?.[0]).toBe("file/parts-unit");
  });
});

describe("part files", () => {
  const hexAt = (address: string, data: string, sum: string) =>
    decode(new TextEncoder().encode(`:02${address}00${data}${sum}\n:00000001FF\n`));

  it("count as their bytes, whatever format and address they come with", () => {
    const { image, format } = decodeParts([hexAt("1000", "0103", "EA"), decodeRaw(bytes(2, 4))], {
      arrangement: "interleaved",
      base: 0x80,
    });
    expect(image).toEqual(Image.of([{ address: 0x80, bytes: bytes(1, 2, 3, 4) }]));
    expect(format).toBe("raw");
  });

  it("bring along what was seen in them", () => {
    const endless = decode(new TextEncoder().encode(":020000000103FA\n"));
    const { findings } = decodeParts([endless, decodeRaw(bytes(2, 4))], { arrangement: "joined" });
    expect(findings.map(({ code }) => code)).toEqual(endless.findings.map(({ code }) => code));
    expect(findings).not.toEqual([]);
  });

  it("with a hole, without data, or too long together are refused", () => {
    const holed = decode(new TextEncoder().encode(":0100000001FE\n:0100020001FC\n:00000001FF\n"));
    const join = (parts: Decoded[], base = 0) => refusal(() => decodeParts(parts, { arrangement: "joined", base }));
    expect(join([decodeRaw(bytes(1)), holed])).toEqual([
      "file/part-not-whole",
      "part file 2: expected bytes without a hole, got 2 spans",
    ]);
    expect(join([decodeRaw(bytes()), decodeRaw(bytes(1))])?.[1]).toMatch(/^part file 1: .*no data$/);
    expect(join([decodeRaw(bytes(1)), decodeRaw(bytes(2))], 2 ** 32 - 1)?.[0]).toBe("file/base-too-high");
  });
});

describe("a raw file", () => {
  it("reaches to the last address and no further", () => {
    expect(decodeRaw(bytes(1, 2), { base: 2 ** 32 - 2 }).image.bounds).toEqual({ start: 2 ** 32 - 2, end: 2 ** 32 });
    for (const base of [2 ** 32 - 1, -1, 0.5, Number.NaN]) {
      expect(refusal(() => decodeRaw(bytes(1, 2), { base }))?.[0]).toBe("file/base-too-high");
    }
  });

  it("that is empty says so", () => {
    expect(decodeRaw(bytes()).findings.map(({ code }) => code)).toEqual(["file/empty"]);
  });

  it("alone has a base", () => {
    const hex = new TextEncoder().encode(":0100100001EE\n:00000001FF\n");
    expect(refusal(() => decode(hex, { base: 0 }))).toEqual([
      "file/base-not-raw",
      "base address: expected a raw file with it, got intel-hex",
    ]);
    expect(decode(hex, { format: "raw", base: 16 }).image.bounds?.start).toBe(16);
  });
});
