import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { ask } from "../../src/rules/rule.js";
import { causeOf } from "../../src/rules/soundness/cause.js";
import { soundnessQuestion, soundnessRules } from "../../src/rules/soundness.js";
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

/** Made-up code in which the same few instructions follow each other again and again, as a compiler writes them. */
function phrased(length: number): Uint8Array {
  const chance = chanceOf(11);
  const source = made(8192, 23);
  const phrases = Array.from({ length: 48 }, () => {
    const at = 2 * chance(source.length / 2 - 16);
    return source.subarray(at, at + 6 + 2 * chance(4));
  });
  const bytes: number[] = [];
  while (bytes.length < length)
    bytes.push(...(phrases[chance(phrases.length)] as Uint8Array), chance(256), chance(256));
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

const shortedUp = (offset: number, first: number, second: number) =>
  ((offset >> first) ^ (offset >> second)) & 1 ? offset | (1 << first) | (1 << second) : offset;

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
  it.each([1, 6, 11])("tells A%i shorted with the line above the content from a copy of it", (line) => {
    const content = part(65536, good);
    const bytes = remade(content, (o) => ((o >> line) & (o >> 15) & 1 ? o : o & ~((1 << line) | 32768)));
    expect(codes(bytes)).toEqual(["soundness/address-lines-shorted"]);
  });
  it.each([0, 1, 5, 6, 9, 12])("sees that nothing stands where A%i is 1, as when a line above pulls it up", (line) => {
    const content = part(65536, good);
    const bytes = remade(content, (o) => shortedUp(o, line, 15));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    if (line < 12)
      expect(first).toMatchObject({
        code: "soundness/alternate-blocks-blank",
        facts: { line, level: 1, value: 0xff },
      });
    // Four blocks of content leave three gaps between them: too few to be sure.
    else expect(first).toMatchObject({ code: "soundness/hole-in-content", facts: { line } });
  });
  it("names no line for a hole like which there is content", () => {
    const bytes = good.slice().fill(0xff, 0x3000, 0x3400);
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/hole-in-content", facts: { line: undefined } });
  });
  it("takes a filler with a stuck bit for a filler", () => {
    // Words of small numbers: every other byte is 0, and reads 8 where D3 of its lane is stuck.
    const numbers = Uint8Array.from(made(16384), (byte, i) => (i % 64 < 6 ? byte : 0)).map((byte, i) =>
      i % 2 ? byte | 8 : byte,
    );
    expect(codes(numbers)).toEqual(["soundness/data-line-stuck"]);
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
  it("tells A0 and A1 exchanged from two parts that were interleaved", () => {
    const bytes = remade(phrased(32768), (o) => (o & ~3) | ((o & 1) << 1) | ((o >> 1) & 1));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/address-lines-exchanged", facts: { first: 0, second: 1 } });
  });
  it("sees two parts that follow each other interleaved, of which one is empty", () => {
    const whole = part(65536, good, 0);
    const bytes = remade(whole, (o) => (o % 2) * 32768 + (o >> 1));
    expect(codes(bytes)).toEqual(["soundness/alternate-blocks-blank"]);
  });
  it.each([
    [3, 4],
    [4, 5],
    [6, 13],
  ])("names A%i and A%i exchanged by how content goes on", (a, b) => {
    const bytes = remade(phrased(32768), (o) => (((o >> a) ^ (o >> b)) & 1 ? o ^ ((1 << a) | (1 << b)) : o));
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/address-lines-exchanged", facts: { first: a, second: b } });
  });
  it("names exchanged data lines though a few bytes would be text beside others", () => {
    const bytes = part(32768, made(12000), 0).map((byte) => (((byte >> 1) ^ (byte >> 6)) & 1 ? byte ^ 0x42 : byte));
    // Once the halves are put together, eight bytes of the upper one make common pairs of letters; all else stands beside 0.
    const next: Readonly<Record<string, string>> = { t: "h", e: "r", a: "n", i: "n", o: "n", h: "e", n: "d", s: "t" };
    let set = 0;
    for (let i = 0; i < 12000 && set < 8; i += 2) {
      const follower = next[String.fromCharCode(bytes[i] as number)];
      if (!follower) continue;
      bytes[16384 + i] = follower.charCodeAt(0);
      set++;
    }
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/data-lines-exchanged", facts: { bus: 8, first: 1, second: 6 } });
  });
  it("sees by its text that the halves of words are exchanged in code that does not mind", () => {
    const bytes = remade(made(131072, 5), (o) => o ^ 2);
    const [first] = causeOf(measureSoundness(Image.of([{ address: 0, bytes }]))).told;
    expect(first).toMatchObject({ code: "soundness/bytes-swapped", facts: { layout: "swap-halves-32" } });
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
  it("only asks for a look where so few returns would be expected that chance can leave them out", () => {
    const small = made(16384, 3);
    const neighbours = [8, 9, 11, 12, 14, 15, 16, 18];
    // Each neighbour in value 40 times: a quarter of that is expected of the return, which is taken out.
    const bytes = small.map((byte) => (byte < 0x1c ? 0x40 : byte));
    neighbours.forEach((value, i) => {
      for (let k = 0; k < 40; k++) bytes[64 + 8 * k * neighbours.length + 8 * i] = value;
    });
    expect(codes(bytes)).toContain("soundness/byte-value-doubtful");
    expect(codes(bytes)).not.toContain("soundness/text-mode-transfer");
  });
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

describe("a hole in an image with a habit of padding", () => {
  const padded = made(65536);
  for (const at of [0x2000, 0x4000, 0x6000]) padded.fill(0xff, at - 301, at);
  it("leaves the padding alone", () => expect(codes(padded)).toEqual([]));
  it("is told all the same, for padding seldom begins on a border", () =>
    expect(codes(padded.slice().fill(0xff, 0x9c00, 0xa000))).toEqual(["soundness/hole-in-content"]));
  it("is no hole behind a first table that is padded to a power of two", () =>
    expect(codes(made(65536).fill(0xff, 0x200, 0x800))).toEqual([]));
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
