import { crc32 } from "node:zlib";
import { buf as npmCrc32 } from "crc-32";
import { describe, expect, it } from "vitest";
import { CrcEngine, type CrcModel, checkedCrcModel, WIDEST_CRC } from "../../src/algorithms/crc.js";
import { crcCatalogue } from "../../src/algorithms/crc-catalogue.js";
import { multiply, powerOfX, reflected } from "../../src/algorithms/crc-polynomial.js";
import { fromHex } from "../../src/bytes/hex.js";
import { writeBigUint } from "../../src/bytes/word.js";
import { Refusal } from "../../src/findings/refusal.js";
import { SlowCrc } from "../reference/crc.js";
import { type Random, randomFrom, seed } from "../reference/random.js";
import { digits, namedMessages, standard } from "./vectors.js";

const published = new Map(standard("crc-catalogue").algorithms.map((entry) => [entry.name, entry]));
const rowNamed = (name: string) => crcCatalogue.find((row) => row.name === name) as (typeof crcCatalogue)[number];

function crcOf(model: CrcModel | CrcEngine, ...pieces: Uint8Array[]): bigint {
  const running = (model instanceof CrcEngine ? model : new CrcEngine(model)).start();
  for (const piece of pieces) running.update(piece);
  return running.value();
}

// Source: the catalogue of parametrised CRC algorithms, as kept in test-vectors/standards/crc-catalogue.json.
describe("the table", () => {
  it("is the published catalogue, whole and unchanged", () => {
    const table = crcCatalogue.map(({ aliases, ...row }) => ({ ...row, aliases: [...aliases] }));
    const expected = [...published.values()].map(({ name, aliases, width, refin, refout, source, ...values }) => ({
      ...{ name, aliases, width, refin, refout, source },
      ...{ poly: BigInt(values.poly), init: BigInt(values.init), xorout: BigInt(values.xorout) },
      ...{ check: BigInt(values.check), residue: BigInt(values.residue) },
    }));
    expect(table).toEqual(expected);
    expect(table.length).toBe(113);
  });
});

describe.each(crcCatalogue)("$name", (row) => {
  const engine = new CrcEngine(row);

  it("gives its published check value", () => expect(crcOf(engine, digits)).toBe(row.check));

  it("does not care where the input was cut", () => {
    for (let cut = 0; cut <= digits.length; cut++) {
      expect(crcOf(engine, digits.subarray(0, cut), digits.subarray(cut))).toBe(row.check);
    }
    expect(crcOf(engine, ...Array.from(digits, (digit) => Uint8Array.of(digit)))).toBe(row.check);
  });

  it("gives the values computed elsewhere for further messages", () => {
    const { more } = published.get(row.name) as { more: Record<string, string> };
    expect(Object.keys(more)).toEqual(Object.keys(namedMessages));
    for (const [name, value] of Object.entries(more)) {
      expect(crcOf(engine, namedMessages[name] as Uint8Array), name).toBe(BigInt(value));
    }
  });

  it("leaves its residue when the CRC follows the message", () => {
    const running = engine.start();
    running.update(digits);
    // As sent: the register's highest power of x first, in bytes as the model takes them, with 0 bits up to a whole byte.
    const sent = row.refout ? reflected(running.value(), row.width) : running.value();
    const length = Math.ceil(row.width / 8);
    const padding = 8 * length - row.width;
    const bytes = writeBigUint(sent << BigInt(padding), length, "big");
    running.update(row.refin ? bytes.map((byte) => Number(reflected(BigInt(byte), 8))) : bytes);
    // The 0 bits multiply what is left by x each.
    const residue = row.refout ? reflected(row.residue, row.width) : row.residue;
    expect(running.register()).toBe(multiply(residue, powerOfX(padding, row), row));
  });

  it("goes on after its value was asked for", () => {
    const running = engine.start();
    running.update(digits.subarray(0, 5));
    running.value();
    running.update(digits.subarray(5));
    expect(running.value()).toBe(row.check);
    expect(engine.finish(running.register())).toBe(row.check);
  });

  it("takes a fill for what it stands for", () => {
    for (const count of [0, 1, 3, 64, 5000, 2 ** 18, 2 ** 18 + 1, 300_001]) {
      const filled = engine.start();
      filled.update(digits);
      filled.fill(0x5a, count);
      filled.update(digits);
      expect(filled.value(), `${count}`).toBe(crcOf(engine, digits, new Uint8Array(count).fill(0x5a), digits));
    }
  });
});

// For bytes, the residue rule in the words of the catalogue: low byte first where refout, else high byte first.
describe.each(crcCatalogue.filter(({ width, refin, refout }) => width % 8 === 0 && refin === refout))(
  "$name",
  (row) => {
    it("comes to its residue with the CRC appended as bytes", () => {
      const crc = writeBigUint(row.check, row.width / 8, row.refout ? "little" : "big");
      expect(crcOf(row, digits, crc) ^ row.xorout).toBe(row.residue);
    });
  },
);

describe("published codewords", () => {
  const { vectors } = standard("crc-codewords");
  it.each(vectors)("$algorithm of $message", ({ algorithm, message, crc }) => {
    expect(crcOf(rowNamed(algorithm), fromHex(message))).toBe(BigInt(crc as string));
  });
  it("are all there", () => expect(vectors.length).toBe(91));
});

function randomModel(random: Random): CrcModel {
  const width = 1 + random.below(WIDEST_CRC);
  return {
    name: "random",
    width,
    poly: random.bits(width) | 1n,
    init: random.bits(width),
    refin: random.below(2) === 1,
    refout: random.below(2) === 1,
    xorout: random.bits(width),
  };
}

describe(`against the bit by bit twin, seed ${seed}`, () => {
  const random = randomFrom(seed);
  const data = random.bytes(1200);

  it.each(Array.from({ length: 64 }, (_, i) => i))(
    "a window at any place, of any length from 0 to 1024: model %i",
    () => {
      const model = randomModel(random);
      const engine = new CrcEngine(model);
      const start = random.below(9);
      const slow = new SlowCrc(model);
      const wrong: number[] = [];
      for (let length = 0; length <= 1024; length++) {
        const fast = engine.start();
        fast.update(data.subarray(start, start + length));
        if (fast.value() !== slow.value() || fast.register() !== slow.register()) wrong.push(length);
        slow.update(data.subarray(start + length, start + length + 1));
      }
      expect({ model, start, wrong }).toEqual({ model, start, wrong: [] });
    },
  );

  it("the parameters that are met most, at every width", () => {
    for (let width = 1; width <= WIDEST_CRC; width++) {
      for (const [refin, refout] of [
        [false, false],
        [true, true],
        [true, false],
        [false, true],
      ] as const) {
        const [init, xorout] = [random.bits(width), random.bits(width)];
        const model = { name: "random", width, poly: random.bits(width) | 1n, init, refin, refout, xorout };
        const slow = new SlowCrc(model);
        slow.update(data.subarray(0, 150));
        const start = random.below(150);
        expect(
          crcOf(model, data.subarray(0, start), data.subarray(start, 150)),
          JSON.stringify({ width, refin, refout }),
        ).toBe(slow.value());
      }
    }
  });

  it("fills and pieces in any order", () => {
    for (let round = 0; round < 200; round++) {
      const model = randomModel(random);
      const [fast, slow] = [new CrcEngine(model).start(), new SlowCrc(model)];
      for (let piece = 0; piece < 4; piece++) {
        const [byte, count] = [random.below(256), random.below(40)];
        fast.fill(byte, count);
        slow.update(new Uint8Array(count).fill(byte));
        const bytes = data.subarray(random.below(100), 100 + random.below(40));
        fast.update(bytes);
        slow.update(bytes);
      }
      expect(fast.value()).toBe(slow.value());
    }
  });

  it("a register that is handed on", () => {
    for (let round = 0; round < 50; round++) {
      const engine = new CrcEngine(randomModel(random));
      const first = engine.start();
      first.update(data.subarray(0, 77));
      const second = engine.start(first.register());
      second.update(data.subarray(77));
      expect(second.value()).toBe(crcOf(engine, data));
    }
  });
});

describe("fills longer than memory", () => {
  it.each(["CRC-5/USB", "CRC-16/XMODEM", "CRC-32/ISO-HDLC", "CRC-64/XZ", "CRC-82/DARC"])("%s", (name) => {
    const engine = new CrcEngine(rowNamed(name));
    const [once, twice] = [engine.start(), engine.start()];
    once.fill(0xff, 2 ** 50);
    twice.fill(0xff, 2 ** 49 + 12_345);
    twice.fill(0xff, 2 ** 49 - 12_345);
    expect(once.value()).toBe(twice.value());
  });

  it("need a byte and a count", () => {
    const running = new CrcEngine(rowNamed("CRC-32/ISO-HDLC")).start();
    for (const [byte, count] of [
      [256, 1],
      [-1, 1],
      [0.5, 1],
      [0, -1],
      [0, 0.5],
      [0, Number.NaN],
      [0, 2 ** 53],
    ] as const) {
      expect(() => running.fill(byte, count)).toThrow(RangeError);
    }
    expect(running.value()).toBe(0n);
  });
});

// Other people's CRC-32: node:zlib and the npm package crc-32.
describe(`against other implementations, seed ${seed}`, () => {
  const random = randomFrom(seed + 1);
  const data = random.bytes(70_000);
  const engine = new CrcEngine(rowNamed("CRC-32/ISO-HDLC"));

  it("agrees with zlib and with crc-32", () => {
    for (let round = 0; round < 200; round++) {
      const start = random.below(300);
      const piece = data.subarray(start, start + random.below(round < 150 ? 400 : 69_000));
      expect(crcOf(engine, piece)).toBe(BigInt(crc32(piece)));
      expect(crcOf(engine, piece)).toBe(BigInt(npmCrc32(piece) >>> 0));
    }
  });

  it("lets the platform compute what it can, with the same values", () => {
    let calls = 0;
    const platform = (bytes: Uint8Array, before: number) => {
      calls++;
      return crc32(bytes, before);
    };
    for (const row of crcCatalogue) {
      const before = calls;
      const running = new CrcEngine(row, platform).start();
      running.update(data.subarray(1, 1000));
      running.fill(0xff, 2 ** 20);
      running.update(data.subarray(1000));
      const own = new CrcEngine(row).start();
      own.update(data.subarray(1, 1000));
      own.fill(0xff, 2 ** 20);
      own.update(data.subarray(1000));
      expect(running.value(), row.name).toBe(own.value());
      expect(calls > before, row.name).toBe(row.width === 32 && row.poly === 0x04c11db7n && row.refin);
    }
  });
});

describe("a model of one's own", () => {
  const model = { name: "own", width: 16, poly: 0x1021n, init: 0n, refin: false, refout: false, xorout: 0n };
  const refused: readonly [string, Partial<CrcModel>, string][] = [
    ["width 0", { width: 0 }, "width: expected 1 to 128 bits, got 0"],
    ["width 129", { width: 129 }, "width: expected 1 to 128 bits, got 129"],
    ["half a bit", { width: 16.5 }, "width: expected 1 to 128 bits, got 16.5"],
    [
      "the highest term",
      { poly: 0x11021n },
      "poly: expected a value of 16 bits, without the highest term, got 0x11021",
    ],
    [
      "the reversed notation",
      { poly: 0x8408n },
      "poly: expected an odd value, with the highest power of x in the highest bit, got 0x8408",
    ],
    ["init too wide", { init: 0x10000n }, "init: expected a value of 16 bits, got 0x10000"],
    ["a negative xorout", { xorout: -1n }, "xorout: expected a value of 16 bits, got -1"],
  ];
  it.each(refused)("is refused: %s", (_, part, message) => {
    let caught: unknown;
    try {
      checkedCrcModel({ ...model, ...part });
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(Refusal);
    expect(caught).toMatchObject({ code: "algorithm/invalid-crc", message });
  });

  it("starts from no register that is too wide for it", () => {
    expect(() => new CrcEngine(model).start(0x10000n)).toThrow(RangeError);
    expect(() => new CrcEngine(model).start(-1n)).toThrow(RangeError);
  });
});
