import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { ask } from "../../src/rules/rule.js";
import { soundnessQuestion, soundnessRules } from "../../src/rules/soundness.js";
import { causeOf } from "../../src/soundness/cause.js";
import { measureSoundness, type SoundnessContext } from "../../src/soundness/measure.js";
import { chanceOf } from "./faults.js";

/** Made-up content that looks like code: instructions of a small vocabulary, addresses, tables and messages. */
function made(length: number, seed = 7): Uint8Array {
  const chance = chanceOf(seed);
  const words = [
    "pressure",
    "sensor",
    "the",
    "engine",
    "fault",
    "limit",
    "speed",
    "reached",
    "not",
    "in",
    "range",
    "oil",
  ];
  // AVR instructions, most significant byte second as they lie in flash (AVR Instruction Set Manual): push, pop, call, ret, ldi.
  const code = [0x93cf, 0x93df, 0x91cf, 0x91df, 0x940e, 0x9508, 0xe090, 0x8180, 0x9380, 0x9180, 0xf409, 0x01c9];
  const bytes: number[] = [];
  while (bytes.length < length) {
    const kind = chance(10);
    if (kind === 0) {
      for (let i = 0; i < 5; i++) bytes.push(...Buffer.from(`${words[chance(words.length)]} `));
      bytes.push(0);
      if (bytes.length % 2) bytes.push(0);
    } else if (kind === 1) {
      let value = chance(200);
      for (let i = 0; i < 16; i++) {
        value += chance(4);
        bytes.push(value & 0xff, chance(3));
      }
    } else {
      for (let i = 0; i < 12; i++) {
        const word = code[chance(code.length)] as number;
        bytes.push(word & 0xff, word >> 8);
        if (word === 0x940e || chance(4) === 0) bytes.push(chance(256), chance(256));
      }
    }
  }
  return Uint8Array.from(bytes.slice(0, length));
}

const part = (size: number, content: Uint8Array, fill = 0xff) => {
  const bytes = new Uint8Array(size).fill(fill);
  bytes.set(content);
  return bytes;
};

function codes(bytes: Uint8Array, context: SoundnessContext = { exact: true }): string[] {
  const measures = measureSoundness(Image.of([{ address: 0x8000, bytes }]), context);
  return ask(soundnessRules, "read", soundnessQuestion(measures)).flatMap(({ judgement }) =>
    "findings" in judgement ? (judgement.findings ?? []).map(({ code }) => code) : [],
  );
}

const remade = (bytes: Uint8Array, from: (offset: number) => number) =>
  bytes.map((_, offset) => bytes[from(offset)] as number);

describe("what is no fault", () => {
  it("leaves made-up content alone", () => expect(codes(made(32768))).toEqual([]));
  it("leaves a mostly empty part alone", () => expect(codes(part(65536, made(9000)))).toEqual([]));
  it("leaves a part that erases to 00 alone", () => expect(codes(part(65536, made(9000), 0))).toEqual([]));
  it("leaves padded tables alone", () => {
    const bytes = made(32768);
    for (let at = 8192; at < 16384; at += 256) bytes.fill(0xff, at + 100, at + 256);
    expect(codes(bytes)).toEqual([]);
  });
  it("leaves sparse calibration alone", () => {
    const bytes = part(32768, made(12000));
    for (let at = 16384; at < 32768; at += 512) bytes.set(made(40, at), at + 8);
    expect(codes(bytes)).toEqual([]);
  });
  it("takes no statistic of a tiny image", () => {
    const judged = ask(
      soundnessRules,
      "read",
      soundnessQuestion(measureSoundness(Image.of([{ address: 0, bytes: made(500) }]))),
    );
    expect(
      judged.every(({ judgement }) => judgement.outcome === "pass" || judgement.outcome === "not-applicable"),
    ).toBe(true);
    expect(judged.find(({ rule }) => rule === "soundness/data-lines-alive")?.judgement.outcome).toBe("not-applicable");
  });
  it("can be asked of nothing", () => expect(causeOf(measureSoundness(Image.empty)).told).toEqual([]));
  it("asks for a look at two equal halves, and does not call them damaged", () => {
    const bank = made(16384);
    expect(codes(Uint8Array.from([...bank, ...bank]))).toEqual(["soundness/halves-alike"]);
  });
});

describe("electrical faults", () => {
  const good = made(32768);
  it.each([4, 7, 11, 13])("names the dead address line A%i", (line) => {
    const bytes = remade(good, (offset) => offset & ~(1 << line));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/address-line-dead", facts: { lines: [line] } });
  });
  it("names two shorted address lines", () => {
    const bytes = remade(good, (o) => ((o >> 5) & (o >> 10) & 1 ? o : o & ~(32 | 1024)));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/address-lines-shorted", facts: { first: 5, second: 10 } });
  });
  it.each([0, 1, 2, 3, 4, 5, 6])("names data line D%i stuck at 1", (bit) => {
    const [first] = causeOf(
      measureSoundness(Image.of([{ address: 0, bytes: good.map((byte) => byte | (1 << bit)) }])),
    ).told;
    expect(first).toMatchObject({ code: "soundness/data-line-stuck", facts: { bus: 8, bit, level: 1 } });
  });
  it("names the lane of a 16-bit bus", () => {
    const bytes = good.map((byte, i) => (i % 2 ? byte & ~0x10 : byte));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/data-line-stuck", facts: { bus: 16, lane: 1, bit: 4, level: 0 } });
  });
  it("names two shorted data lines", () => {
    const bytes = good.map((byte) => ((byte >> 2) & (byte >> 5) & 1 ? byte : byte & ~0x24));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/data-lines-shorted", facts: { bus: 8, first: 2, second: 5 } });
  });
  it.each([0, 0xff, 0xa5])("stops at a part that reads %i throughout", (value) =>
    expect(codes(new Uint8Array(4096).fill(value))).toEqual(["soundness/constant"]),
  );
});

describe("order and extent", () => {
  const good = made(32768);
  it.each([
    ["swap-16", 1],
    ["swap-32", 3],
  ] as const)("proposes layout %s", (layout, mask) => {
    const bytes = remade(good, (offset) => offset ^ mask);
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/bytes-swapped", facts: { layout } });
  });
  it("tells joined from interleaved", () => {
    const bytes = remade(good, (o) => (o < 16384 ? 2 * o : 2 * (o - 16384) + 1));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/parts-joined", facts: { correction: "interleave" } });
  });
  it("asks for a look at a size that no part has, of a raw file only", () => {
    expect(codes(good.slice(0, 30001))).toEqual(["soundness/size-unusual"]);
    expect(codes(good.slice(0, 30001), { exact: false })).toEqual([]);
  });
  it("lets a stated part size decide over two equal halves", () => {
    const twice = Uint8Array.from([...good, ...good]);
    expect(codes(twice, { exact: true, partSizes: [32768] })).toEqual(["soundness/content-repeats"]);
  });
  it("sees content that starts again", () => {
    expect(codes(Uint8Array.from([...good, ...good.subarray(0, 16384)]))).toEqual(["soundness/content-repeats"]);
  });
});

describe("transfer", () => {
  const good = made(65536, 3);
  const bytesOf = (text: string) => Uint8Array.from(Buffer.from(text, "latin1"));
  const latin1 = Buffer.from(good).toString("latin1");
  it("sees returns put in before line feeds", () =>
    expect(codes(bytesOf(latin1.replaceAll("\n", "\r\n")))).toEqual(["soundness/text-mode-transfer"]));
  it("sees returns taken out", () =>
    expect(codes(bytesOf(latin1.replaceAll("\r", "")))[0]).toBe("soundness/text-mode-transfer"));
  it("sees a conversion to UTF-8", () =>
    expect(codes(Uint8Array.from(Buffer.from(latin1, "utf8")))[0]).toBe("soundness/re-encoded"));
  it("sees seven bits", () => expect(codes(good.map((byte) => byte & 0x7f))).toEqual(["soundness/high-bit-clear"]));
  it("sees text", () =>
    expect(
      codes(
        Uint8Array.from(
          Buffer.from("Hull 7, port engine: oil filter changed. Read made on Monday by EF.\n".repeat(64)),
        ),
      ),
    ).toContain("soundness/only-text"));
  it("sees base64", () =>
    expect(codes(bytesOf(Buffer.from(good).toString("base64")))).toEqual(["soundness/not-the-bytes"]));
  it("sees a block put down twice", () =>
    expect(codes(good.slice().copyWithin(0x2400, 0x2000, 0x2400))).toEqual(["soundness/block-repeated"]));
});

describe("a hole in dense content", () => {
  const bytes = made(32768).fill(0xff, 0x3000, 0x3400);
  const span = { start: 0xb000, end: 0xb400 };
  it("asks for a look", () => expect(codes(bytes)).toEqual(["soundness/hole-in-content"]));
  it("stops where a checksum fails over it", () =>
    expect(codes(bytes, { failed: [{ start: 0x8000, end: 0x10000 }] })).toEqual([
      "soundness/hole-under-failing-checksum",
    ]));
  it("is outweighed by a checksum that holds over it, and says so", () =>
    expect(codes(bytes, { held: [span] })).toEqual(["soundness/outweighed-by-checksum"]));
});
