import { describe, expect, it } from "vitest";
import { draftProfile } from "../../src/draft/draft.js";
import { type DraftRead, type DraftTold, familyOf, mostDraftReads } from "../../src/draft/family.js";
import { Refusal } from "../../src/findings/refusal.js";
import { Image } from "../../src/image/image.js";
import { scatteredFrom, seed } from "../reference/random.js";
import { readOf } from "./boats.js";

const names = { id: "drafted", title: "drafted" };
// One seed for ever: what wavers by chance looks like a counter once in a thousand seeds, as the draft itself says.
const random = scatteredFrom(20_261_130);

/** A memory of 4 KiB that is erased but for `parts`, each at its address. */
function memory(parts: Readonly<Record<number, Uint8Array | string>>): Uint8Array {
  const bytes = new Uint8Array(4096).fill(0xff);
  for (const [at, part] of Object.entries(parts)) {
    bytes.set(typeof part === "string" ? new TextEncoder().encode(part) : part, Number(at));
  }
  return bytes;
}
const word = (value: number) => Uint8Array.of(value >>> 24, (value >>> 16) & 255, (value >>> 8) & 255, value & 255);
const reads = (...all: readonly Uint8Array[]): DraftRead[] => all.map((bytes, i) => readOf(`read ${i}`, bytes));
const fieldsOf = (all: readonly DraftRead[], told: DraftTold = {}) =>
  draftProfile(all, told, [], names).profile.fields.map((field) => ({ ...field, at: Number(field.at) }));

describe("what is refused", () => {
  const code = (work: () => unknown) => {
    try {
      work();
    } catch (error) {
      return error instanceof Refusal ? error.code : error;
    }
    return "nothing";
  };
  const some = reads(memory({}), memory({ 0: "a" }), memory({ 0: "b" }));

  it.each<[string, readonly DraftRead[], DraftTold, string]>([
    ["one read", some.slice(0, 1), {}, "draft/reads"],
    ["more than are of use", Array.from({ length: mostDraftReads + 1 }, () => some[0] as DraftRead), {}, "draft/reads"],
    ["reads of nothing", [readOf("a", new Uint8Array(0)), readOf("b", new Uint8Array(0))], {}, "draft/empty"],
    [
      "a read that is shorter",
      [some[0] as DraftRead, readOf("b", memory({}).slice(0, 4000))],
      {},
      "draft/other-addresses",
    ],
    ["a read at another address", [some[0] as DraftRead, readOf("b", memory({}), 16)], {}, "draft/other-addresses"],
    [
      "a read with a hole",
      [
        some[0] as DraftRead,
        { name: "b", image: Image.of([{ address: 0, bytes: memory({}) }]).without([{ start: 5, end: 9 }]) },
      ],
      {},
      "draft/other-addresses",
    ],
    ["a read as its own repeat", some, { same: [[1, 1]] }, "draft/told-twice"],
    ["a pair of one unit", some, { same: [[0, 1]], pairs: [[0, 1]] }, "draft/pair-of-one"],
    [
      "a unit on both sides",
      some,
      {
        pairs: [
          [0, 1],
          [1, 2],
        ],
      },
      "draft/told-twice",
    ],
    [
      "a unit in two pairs",
      some,
      {
        pairs: [
          [0, 1],
          [0, 2],
        ],
      },
      "draft/told-twice",
    ],
  ])("%s", (_what, given, told, expected) => {
    expect(code(() => draftProfile(given, told, [], names))).toBe(expected);
  });

  it("names the read and what to do about rows that a file leaves out", () => {
    expect(() => familyOf([some[0] as DraftRead, readOf("short", memory({}).slice(0, 4000))])).toThrow(
      /expected the addresses of read 0 .*: fill the rows/,
    );
  });
});

describe("fields", () => {
  it("another number in each unit is a serial number, the same in all a part number", () => {
    const all = reads(
      ...["4711-001", "4711-002", "4711-007"].map((serial) => memory({ 16: "WB12-3456-A", 64: serial })),
    );
    expect(fieldsOf(all)).toMatchObject([
      { at: 16, length: 11, means: "part-number" },
      { at: 64, length: 8, means: "serial-number", pattern: "[0-9]{4}-[0-9]{3}" },
    ]);
  });

  it("a number of a road vehicle with its check digit is one, and needs no confirmation when two differ", () => {
    // Both with their source in test-vectors/standards/vin-vectors.json.
    const all = reads(memory({ 32: "1M8GDM9AXKP042788" }), memory({ 32: "1G4AH59H45G118341" }));
    expect(fieldsOf(all)).toMatchObject([{ at: 32, length: 17, means: "machine-number", checkDigit: "49-cfr-565" }]);
    expect(fieldsOf(all)[0]).not.toHaveProperty("unconfirmed");
  });

  it("a date of eight decimal digits, two a byte", () => {
    const all = reads(
      memory({ 40: Uint8Array.of(0x19, 0x98, 0x03, 0x12) }),
      memory({ 40: Uint8Array.of(0x20, 0x01, 0x11, 0x30) }),
    );
    expect(fieldsOf(all)).toMatchObject([{ at: 40, length: 4, type: "bcd", belongsTo: "unit" }]);
  });

  // Two units, each read twice; the settings behind the counter waver.
  const hours = [10_000, 10_003, 90_000, 90_002];
  const wavering = () =>
    Uint8Array.from({ length: 64 }, (_, i) => (i % 2 === 0 ? 0x80 : (random.bytes(1)[0] as number)));
  const runs = hours.map((count) => memory({ 256: word(count), 264: wavering() }));
  const twice = {
    same: [
      [0, 1],
      [2, 3],
    ],
  } as const;

  it("a word that rises by little from read to read of a unit is a counter, one that wavers is none", () => {
    expect(fieldsOf(reads(...runs), twice)).toMatchObject([
      {
        at: 256,
        length: 4,
        type: "unsigned",
        order: "big",
        belongsTo: "unit",
        required: false,
        unconfirmed: expect.any(String),
      },
    ]);
  });

  it("in the other order of the reads it is none, nor when the reads are of four units", () => {
    expect(fieldsOf(reads(...[...runs].reverse()), twice)).toEqual([]);
    expect(fieldsOf(reads(...runs))).toEqual([]);
  });

  it("a text of which the form is not the same is none", () => {
    expect(fieldsOf(reads(memory({ 16: "AB-12345" }), memory({ 16: "1234-XYZ" })))).toEqual([]);
  });

  it("a text alone in erased memory is a mark, to be confirmed", () => {
    const all = reads(...[1, 2].map((i) => memory({ 0: Uint8Array.of(i, 3, 200 + i), 4080: "END OF THIS PART" })));
    expect(fieldsOf(all)).toMatchObject([{ at: 4080, equals: "END OF THIS PART", unconfirmed: expect.any(String) }]);
  });
});

describe("what changes by itself", () => {
  const worn = () => memory({ 0: "fixed content", 1024: random.bytes(64) });
  const all = reads(worn(), worn(), worn(), worn());

  it("is adaptation when most of a part does so", () => {
    const { profile } = draftProfile(
      all,
      {
        same: [
          [0, 1],
          [2, 3],
        ],
      },
      [],
      names,
    );
    const adaptation = profile.regions.filter(({ role }) => role === "adaptation");
    expect(adaptation).toMatchObject([{ unconfirmed: expect.any(String), over: [{ start: 1024 }] }]);
  });

  it("is taken for nothing of the kind when no unit was read twice", () => {
    const { profile, next } = draftProfile(all, {}, [], names);
    expect(profile.regions.filter(({ role }) => role === "adaptation")).toEqual([]);
    expect(profile.volatile).toEqual([]);
    expect(next[0]?.told).toBe("same");
  });

  it("is a doubt in code or tables: one of the reads is not sound", () => {
    const table = new Uint8Array(2048).map((_, i) => (i % 2 === 0 ? 16 + (i >> 8) : (i >> 1) & 255));
    const wrong = table.slice();
    wrong[500] = (wrong[500] as number) ^ 0x40;
    const { doubts, profile } = draftProfile(
      reads(memory({ 0: table }), memory({ 0: wrong })),
      { same: [[0, 1]] },
      [],
      names,
    );
    expect(doubts).toMatchObject([{ where: [{ start: 500, length: 1 }] }]);
    expect(profile.volatile).toEqual([]);
  });
});

it("doubts that reads are of one unit when a number in them is another one, and goes on comparing it", () => {
  const [one, other] = ["0004417203", "0004417239"].map((serial) => memory({ 16: "WB12-3456-A", 64: serial }));
  const all = reads(one as Uint8Array, other as Uint8Array, memory({ 16: "WB12-3456-A", 64: "0006830054" }));
  const told = draftProfile(all, { same: [[0, 1]] }, [], names);
  expect(told.doubts).toMatchObject([
    { what: expect.stringMatching(/^reads that are told to be of one unit/), where: [{ start: 64, length: 10 }] },
  ]);
  expect(told.profile.volatile).toEqual([]);
  expect(draftProfile(all, {}, [], names).doubts).toEqual([]);
});

it("names a value that stands alone by the algorithm that gives it, not by the complement of another one's", () => {
  // CRC-16/IBM-3740 (poly 1021, init ffff, nothing turned) of the catalogue; CRC-16/GENIBUS is its complement.
  const crc = (bytes: Uint8Array) => {
    let value = 0xffff;
    for (const byte of bytes) {
      value ^= byte << 8;
      for (let bit = 0; bit < 8; bit++) value = ((value << 1) ^ (value & 0x8000 ? 0x1021 : 0)) & 0xffff;
    }
    return value;
  };
  expect(crc(new TextEncoder().encode("123456789"))).toBe(0x29b1);
  const all = reads(
    ...[0, 1, 2, 3, 4, 5].map(() => {
      const bytes = memory({ 1024: random.bytes(64) });
      const value = crc(bytes.subarray(1024, 2046));
      bytes.set([value >> 8, value & 255], 2046);
      return bytes;
    }),
  );
  const { checksums } = draftProfile(all, {}, [], names).profile;
  expect(checksums).toMatchObject([
    { algorithm: "CRC-16/IBM-3740", stored: { at: 2046, form: "value", order: "big" } },
  ]);
});

describe("values that go with the side", () => {
  const settings = Uint8Array.from({ length: 64 }, (_, i) => (i * 37 + 11) % 251);
  const set = (changes: Readonly<Record<number, readonly number[]>>) => {
    const bytes = settings.slice();
    for (const [at, values] of Object.entries(changes)) bytes.set(values, Number(at));
    return memory({ 256: bytes });
  };
  const rulesOf = (all: readonly Uint8Array[], pairs: DraftTold["pairs"]) =>
    draftProfile(reads(...all), { pairs: pairs as never }, [], names).document.pair?.rules ?? [];

  it("are to be confirmed where the other half of their word varies otherwise", () => {
    const units = [0xe5, 0xe4, 0xe5, 0xe4].map((high, i) =>
      set({ 8: [1 + (i % 2)], 30: [high, [0x10, 0x72, 0x33, 0xd9][i] as number] }),
    );
    const rules = rulesOf(units, [
      [0, 1],
      [2, 3],
    ]);
    const sided = rules.filter(({ rule }) => rule === "per-side");
    expect(sided.map(({ over }) => over)).toEqual([
      [{ start: "0x00108", end: "0x00109" }],
      [{ start: "0x0011E", end: "0x0011F" }],
    ]);
    expect(sided[0]).not.toHaveProperty("unconfirmed");
    expect(sided[1]).toMatchObject({ unconfirmed: expect.stringContaining("of the same word") });
  });

  it("are not written out of one pair where they may be a key", () => {
    const keys = [
      [0xd4, 0xc3, 0x92, 0xa1],
      [0x88, 0x87, 0x6f, 0x5e],
    ];
    const units = keys.map((key, i) => set({ 8: [1 + i], 32: key }));
    const rules = rulesOf(units, [[0, 1]]);
    expect(rules).toMatchObject([
      { rule: "per-side", over: [{ start: "0x00108", end: "0x00109" }], values: { left: "01", right: "02" } },
      { rule: "distinct", over: [{ start: "0x00120", end: "0x00124" }], unconfirmed: expect.any(String) },
    ]);
    for (const hex of ["d4c392a1", "88876f5e"]) expect(JSON.stringify(rules)).not.toContain(hex);
    // A second machine with the same values on its sides shows that they are the side's.
    expect(
      rulesOf(
        [...units, ...units],
        [
          [0, 1],
          [2, 3],
        ],
      ).map(({ rule }) => rule),
    ).toEqual(["per-side", "per-side"]);
  });
});

describe(`anything at all, seed ${seed}`, () => {
  const random = scatteredFrom(seed);
  const made: Readonly<Record<string, () => Uint8Array>> = {
    "random bytes": () => random.bytes(4096),
    "erased memory": () => memory({}),
    "one byte": () => random.bytes(1),
    text: () => random.bytes(4096).map((byte) => 32 + (byte % 95)),
    "few values": () => random.bytes(4096).map((byte) => (byte < 200 ? 255 : byte % 3)),
  };

  it.each(Object.entries(made))("%s: a profile that holds together, with no stop for its own reads", (_name, make) => {
    const all = reads(make(), make(), make(), make());
    for (const told of [
      {},
      {
        pairs: [
          [0, 1],
          [2, 3],
        ],
      },
      { same: [[0, 1]] },
      { pairs: [[0, 1]], same: [[2, 3]] },
    ] as DraftTold[]) {
      const { profile, unconfirmed } = draftProfile(all, told, [], names);
      expect(profile.regions.length).toBeGreaterThan(0);
      expect(unconfirmed.length).toBeGreaterThan(0);
    }
  });

  it("is the same profile whenever it is drafted", () => {
    const all = reads(random.bytes(4096), random.bytes(4096));
    expect(draftProfile(all, {}, [], names)).toEqual(draftProfile(all, {}, [], names));
  });
});
