import { crc32 } from "node:zlib";
import { describe, expect, it } from "vitest";
import { type AlgorithmChoice, algorithmNamed, algorithmNames, algorithmOf } from "../../src/algorithms/algorithm.js";
import { crcCatalogue } from "../../src/algorithms/crc-catalogue.js";
import { portableDigest } from "../../src/algorithms/digest.js";
import { withReversedWords } from "../../src/algorithms/reversed-words.js";
import { type SumRow, sumCatalogue } from "../../src/algorithms/sum-catalogue.js";
import { Refusal } from "../../src/findings/refusal.js";
import { randomFrom, seed } from "../reference/random.js";
import { digits } from "./vectors.js";

function refusalOf(choice: AlgorithmChoice): Refusal {
  try {
    algorithmOf(choice);
  } catch (error) {
    expect(error).toBeInstanceOf(Refusal);
    return error as Refusal;
  }
  return expect.fail("expected a refusal");
}

function checkOf(choice: AlgorithmChoice): bigint {
  const running = algorithmOf(choice).start();
  running.update(digits);
  return running.value();
}

describe("names", () => {
  it("are there for every row of every table, once", () => {
    const names = algorithmNames();
    expect(new Set(names).size).toBe(names.length);
    expect(names.length).toBe(crcCatalogue.length + sumCatalogue.length + 2);
    for (const name of names) expect(algorithmNamed(name).name).toBe(name);
  });

  it("and aliases mean one algorithm each, in any case and with _ for -", () => {
    const rows: readonly { name: string; aliases?: readonly string[] }[] = [...crcCatalogue, ...sumCatalogue];
    const seen = new Map<string, string>();
    for (const { name, aliases = [] } of rows) {
      for (const alias of [name, ...aliases]) {
        const key = alias.toLowerCase();
        expect(seen.get(key) ?? name, alias).toBe(name);
        seen.set(key, name);
        expect(algorithmNamed(key).name, alias).toBe(name);
        expect(algorithmNamed(alias.toUpperCase().replaceAll("-", "_")).name, alias).toBe(name);
      }
    }
  });

  // ASAM MCD-1 XCP, BUILD_CHECKSUM.
  it.each([
    ["XCP_ADD_11", "sum8"],
    ["XCP_ADD_12", "sum16-bytes"],
    ["XCP_ADD_14", "sum32-bytes"],
    ["XCP_CRC_16", "CRC-16/ARC"],
    ["XCP_CRC_16_CITT", "CRC-16/IBM-3740"],
    ["XCP_CRC_32", "CRC-32/ISO-HDLC"],
  ])("of XCP types: %s is %s", (type, name) => expect(algorithmNamed(type).name).toBe(name));

  it("of XCP types on words say the byte order, and ask for whole words", () => {
    for (const [type, multipleOf] of [
      ["22", 2],
      ["24", 2],
      ["44", 4],
    ] as const) {
      expect(refusalOf(`XCP_ADD_${type}`).message).toContain(`xcp-add-${type}-le, xcp-add-${type}-be`);
      expect(algorithmNamed(`XCP_ADD_${type}_LE`).multipleOf).toBe(multipleOf);
      expect(algorithmNamed(`XCP_ADD_${type}_BE`).multipleOf).toBe(multipleOf);
    }
  });

  it.each([
    ["crc-32", "CRC-32/ISO-HDLC", "crc", 32],
    ["CRC-82/DARC", "CRC-82/DARC", "crc", 82],
    ["Internet", "internet", "sum", 16],
    ["XOR16-LE", "xor16-le", "xor", 16],
    ["Adler-32", "adler32", "pair", 32],
    ["bsd-sum", "bsd-sum", "rotating-sum", 16],
    ["sha256", "SHA-256", "hash", 256],
    ["SHA_1", "SHA-1", "hash", 160],
  ])("%s is %s, a %s of %i bits", (given, name, kind, width) => {
    expect(algorithmNamed(given)).toMatchObject({ name, kind, width });
  });
});

describe("a name that is not known", () => {
  it.each([
    ["sum16", "algorithm: expected a known name (sum16-le, sum16-be, sum16-bytes?), got sum16"],
    ["CRC-32/ISO-HDCL", "algorithm: expected a known name (CRC-32/ISO-HDLC?), got CRC-32/ISO-HDCL"],
    ["nothing like it", "algorithm: expected a known name, got nothing like it"],
    ["a\u001b[31mb", "algorithm: expected a known name, got a\\x1b[31mb"],
    ["", "algorithm: expected a known name, got "],
    ["x".repeat(100_000), "algorithm: expected a known name, got one of 100000 characters"],
    ["constructor", "algorithm: expected a known name, got constructor"],
  ])("is refused, with what may have been meant: %.20s", (name, message) => {
    expect(refusalOf(name)).toMatchObject({ code: "algorithm/unknown" });
    expect(refusalOf(name).message).toBe(message);
  });
});

describe("a CRC by its parameters", () => {
  it("that the catalogue has goes by its name", () => {
    for (const row of crcCatalogue) {
      const { width, poly, init, refin, refout, xorout } = row;
      expect(algorithmOf({ width, poly, init, refin, refout, xorout }).name).toBe(row.name);
      expect(checkOf({ width, poly, init, refin, refout, xorout })).toBe(row.check);
    }
  });

  it("that nobody has published goes by its parameters", () => {
    const own = { width: 16, poly: 0x1021n, init: 0x1234n, refin: true, refout: false, xorout: 0n };
    expect(algorithmOf(own)).toMatchObject({
      name: "CRC-16 poly=0x1021 init=0x1234 refin=true refout=false xorout=0x0000",
      kind: "crc",
      width: 16,
      multipleOf: 1,
    });
  });

  it("that cannot be is refused", () => {
    const { message, code, place } = refusalOf({
      width: 2 ** 40,
      poly: 1n,
      init: 0n,
      refin: true,
      refout: true,
      xorout: 0n,
    });
    expect({ message, code, place }).toEqual({
      message: `width: expected 1 to 128 bits, got ${2 ** 40}`,
      code: "algorithm/invalid-crc",
      place: { path: "width" },
    });
  });
});

describe("what the platform computes", () => {
  it("is asked for where it fits, and nowhere else", () => {
    const asked: string[] = [];
    const accelerators = {
      crc32: (bytes: Uint8Array, before: number) => {
        asked.push("crc32");
        return crc32(bytes, before);
      },
      digest: (name: "SHA-1" | "SHA-256") => {
        asked.push(name);
        return portableDigest(name);
      },
    };
    for (const name of ["CRC-32/ISO-HDLC", "CRC-32/ISCSI", "adler32", "SHA-1", "SHA-256"]) {
      const running = algorithmOf(name, accelerators).start();
      running.update(digits);
      expect(running.value()).toBe(checkOf(name));
    }
    expect(asked).toEqual(["crc32", "SHA-1", "SHA-256"]);
  });
});

describe("the order of bytes and bits", () => {
  const data = randomFrom(seed).bytes(4096);
  const turned = (byte: number) => ((byte << 4) | (byte >> 4)) & 0xff;
  const rearranged = {
    words: (bytes) => bytes.map((_, at) => bytes[at ^ 16] as number),
    "bytes of 16-bit words": (bytes) => bytes.map((_, at) => bytes[at ^ 1] as number),
    "halves of 32-bit words": (bytes) => bytes.map((_, at) => bytes[at ^ 2] as number),
    "bytes of 32-bit words": (bytes) => bytes.map((_, at) => bytes[at ^ 3] as number),
    "digits of each byte": (bytes) => bytes.map(turned),
    "every bit, inverted": (bytes) => bytes.map((byte) => byte ^ 0xff),
  } satisfies Record<string, (bytes: Uint8Array) => Uint8Array>;
  type Way = keyof typeof rearranged;
  const checksumOf = (name: string, bytes: Uint8Array) => {
    const { width, start } = algorithmNamed(name);
    const running = start();
    running.update(bytes);
    const hex = running
      .value()
      .toString(16)
      .padStart(2 * Math.ceil(width / 8), "0");
    return Uint8Array.from(Buffer.from(hex, "hex"));
  };
  /** Whether the value of `data` stored beside them would still hold after both were rearranged that way. */
  const stillHolds = (name: string, way: Way) => {
    const stored = checksumOf(name, data);
    const places = way.includes(" of each byte") || way.includes("inverted") ? rearranged[way](stored) : stored;
    const expected = checksumOf(name, rearranged[way](data));
    // Whatever becomes of the order of its bytes: it may be stored most or least significant byte first.
    return Buffer.compare(places.slice().sort(), expected.slice().sort()) === 0;
  };

  it(`is seen by every algorithm that says so, seed ${seed}`, () => {
    const ordered = algorithmNames().filter((name) => algorithmNamed(name).ordered);
    expect(ordered).toEqual(expect.arrayContaining(["CRC-32/ISO-HDLC", "SHA-256", "fletcher16-mod256", "adler32"]));
    for (const name of ordered.filter((one) => algorithmNamed(one).width >= 16)) {
      for (const way of Object.keys(rearranged) as Way[]) {
        expect(stillHolds(name, way), `${name}, ${way}`).toBe(false);
      }
    }
  });

  // To turn n bits is to multiply modulo 2**n - 1 (RFC 1071, section 2, B, for n = 16).
  it.each<[string, Way]>([
    ["fletcher16", "digits of each byte"],
    ["fletcher16", "every bit, inverted"],
    ["fletcher32", "bytes of 16-bit words"],
    ["fletcher32-be", "bytes of 16-bit words"],
    ["fletcher32-be", "every bit, inverted"],
    ["fletcher64", "halves of 32-bit words"],
    ["fletcher64-be", "halves of 32-bit words"],
    ["sum32-bytes", "words"],
  ])("is not seen by %s: %s", (name, way) => {
    expect(algorithmNamed(name).ordered).toBe(false);
    expect(stillHolds(name, way)).toBe(true);
  });
});

describe("words fed last byte first", () => {
  function reversed(bytes: Uint8Array, size: number): Uint8Array {
    return bytes.map((_, i) => bytes[i - (i % size) + size - 1 - (i % size)] as number);
  }
  const random = randomFrom(seed);

  it.each([2, 4, 8] as const)(`of %i bytes, wherever they are cut, seed ${seed}`, (size) => {
    const data = random.bytes(40_000);
    for (const name of ["CRC-32/MPEG-2", "sum16-le", "fletcher16", "SHA-256", "xor8", "xcp-add-44-be"]) {
      const plain = algorithmNamed(name);
      const algorithm = withReversedWords(plain, size);
      expect(algorithm.multipleOf).toBe(Math.max(size, plain.multipleOf));
      for (let round = 0; round < 20; round++) {
        const start = random.below(9);
        const length = 8 * random.below(round < 15 ? 20 : 4000);
        const message = data.subarray(start, start + length);
        const cuts = [0, random.below(length + 1), random.below(length + 1), length].sort((a, b) => a - b);
        const [running, expected] = [algorithm.start(), plain.start()];
        for (const [i, end] of cuts.slice(1).entries()) running.update(message.subarray(cuts[i], end));
        expected.update(reversed(message, size));
        expect(running.value(), `${name}, ${length} bytes cut at ${cuts}`).toBe(expected.value());
      }
    }
  });

  it.each([2, 4, 8] as const)("of %i bytes, some of them filled", (size) => {
    for (const [before, count] of [
      [0, 16],
      [1, 15],
      [3, 29],
      [7, 1],
      [5, 70_003],
      [2, 0],
    ] as const) {
      const message = new Uint8Array(before + count + 8).fill(0xa7);
      message.set(digits.subarray(0, before));
      message.set(digits.subarray(0, 8), before + count);
      const whole = message.subarray(0, message.length - (message.length % size));
      const [running, expected] = [
        withReversedWords(algorithmNamed("CRC-32"), size).start(),
        algorithmNamed("CRC-32").start(),
      ];
      running.update(whole.subarray(0, before));
      running.fill(0xa7, count);
      running.update(whole.subarray(before + count));
      expected.update(reversed(whole, size));
      expect(running.value(), `${count} behind ${before}`).toBe(expected.value());
    }
  });

  it("have no value while one is not whole", () => {
    const running = withReversedWords(algorithmNamed("CRC-32"), 4).start();
    running.update(digits.subarray(0, 3));
    expect(() => running.value()).toThrow(RangeError);
    running.fill(0x34, 1);
    const expected = algorithmNamed("CRC-32").start();
    expected.update(Uint8Array.of(0x34, 0x33, 0x32, 0x31));
    expect(running.value()).toBe(expected.value());
  });
});

it("a sum's rows name their byte order where words have one, and no other rows do", () => {
  const rows: readonly SumRow[] = sumCatalogue;
  for (const row of rows) expect(row.order !== undefined, row.name).toBe(row.word > 1);
});
