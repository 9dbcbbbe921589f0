import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { measureChecksums } from "../../src/checksums/measure.js";
import { recomputeChecksums } from "../../src/checksums/recompute.js";
import { compose } from "../../src/compose/compose.js";
import { planOf } from "../../src/compose/plan.js";
import { Image } from "../../src/image/image.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import { type Role, roles } from "../../src/profile/schema/region.js";
import { describeUnit } from "../../src/unit/unit.js";
import { profileOf } from "../unit/unit-of.js";

// Plans over invented memories, made by chance: there is nothing published to hold a composition against. What is
// expected is put together byte by byte, by the words of the plan alone.
const erasable: readonly Role[] = ["adaptation", "faults", "spare"];
const algorithms = ["CRC-32/ISO-HDLC", "CRC-16/IBM-3740", "sum16-be", "sum8"];
const widths: Readonly<Record<string, number>> = {
  "CRC-32/ISO-HDLC": 4,
  "CRC-16/IBM-3740": 2,
  "sum16-be": 2,
  sum8: 1,
};

const regionCase = fc.record({
  length: fc.integer({ min: 16, max: 60 }).map((length) => 2 * length),
  role: fc.constantFrom(...roles),
  origin: fc.constantFrom("source", "donor", "erased"),
});
const checksumCase = fc.record({
  algorithm: fc.constantFrom(...algorithms),
  first: fc.nat(),
  count: fc.integer({ min: 1, max: 4 }),
  form: fc.constantFrom("value", "complement", "value-and-complement"),
});
const planCase = fc.record({
  regions: fc.array(regionCase, { minLength: 2, maxLength: 8 }),
  checksums: fc.array(checksumCase, { maxLength: 5 }),
  source: fc.infiniteStream(fc.integer({ min: 0, max: 255 })),
  donor: fc.infiniteStream(fc.integer({ min: 0, max: 255 })),
});
type PlanCase = typeof planCase extends fc.Arbitrary<infer Value> ? Value : never;

/** The profile and the two images of a case: regions side by side, the stored values of checksums at the ends of regions. */
function made({ regions, checksums, source, donor }: PlanCase, origins?: "source") {
  let end = 0;
  const placed = regions.map(({ length, role, origin }, i) => {
    const start = end;
    end += length;
    const usable = origin === "erased" && !erasable.includes(role) ? "donor" : origin;
    return { name: `r${i}`, role, start, end, origin: origins ?? usable };
  });
  // What belongs to an owner holds no checksum here: such a one is never put right.
  const homes = placed.filter(({ role }) => role !== "immobiliser");
  const free = new Map(homes.map(({ name, end: last }) => [name, last]));
  const rules =
    homes.length === 0
      ? []
      : checksums.flatMap(({ algorithm, first, count, form }, i) => {
          const home = homes[(first + i) % homes.length] as (typeof homes)[number];
          const size = (widths[algorithm] as number) * (form === "value-and-complement" ? 2 : 1);
          const at = (free.get(home.name) as number) - size;
          if (at < home.start + 8) return [];
          free.set(home.name, at);
          const from = first % placed.length;
          const over = placed.slice(from, from + count).map(({ name }) => ({ region: name }));
          return [{ name: `c${i}`, algorithm, over, inside: "leave-out", stored: { at, form } }];
        });
  // Two checksums that cover each other's values have no order: only those of which one does not are kept.
  const covers = (a: (typeof rules)[number], b: (typeof rules)[number]) =>
    a.over.some(({ region }) => {
      const one = placed.find(({ name }) => name === region);
      return one !== undefined && b.stored.at >= one.start && b.stored.at < one.end;
    });
  const kept: typeof rules = [];
  for (const rule of rules) if (!kept.some((other) => covers(other, rule))) kept.push(rule);
  const profile = profileOf({
    memory: { size: end, erased: 255 },
    regions: placed.map(({ name, role, start, end: last }) => ({ name, role, over: [{ start, end: last }] })),
    checksums: kept,
    donor: { regions: placed.map(({ name, origin }) => ({ region: name, origin, why: "by chance" })) },
  });
  const image = (bytes: Iterable<number>) => {
    const content = new Uint8Array(end);
    let at = 0;
    for (const byte of bytes) {
      if (at === end) break;
      content[at++] = byte;
    }
    return recomputeChecksums(Image.of([{ address: 0, bytes: content }]), profile).image;
  };
  return { profile, placed, source: image(source), donor: image(donor) };
}

function composed(profile: Profile, source: Image, donor: Image) {
  const units = [describeUnit(source, profile), describeUnit(donor, profile)] as const;
  const plan = planOf(...units);
  return { plan, composition: compose(plan, ...units) };
}
const bytesOf = (image: Image) => image.segments[0]?.bytes as Uint8Array;

describe("a composed image", () => {
  it("holds exactly the bytes of the plan, and every checksum, for 1,000 plans by chance", () => {
    let mixed = 0;
    fc.assert(
      fc.property(planCase, (one) => {
        const { profile, placed, source, donor } = made(one);
        const { composition } = composed(profile, source, donor);
        if (!composition) throw new Error("expected a composition");
        const got = bytesOf(composition.image);
        const expected = Uint8Array.from(got, (_, at) => {
          const part = placed.find(({ start, end }) => at >= start && at < end);
          if (part?.origin === "erased") return 255;
          return bytesOf(part?.origin === "source" ? source : donor)[at] as number;
        });
        for (const { bytes } of composition.recomputed) {
          for (const { address, before, after } of bytes) {
            expect(expected[address]).toBe(before);
            expected[address] = after;
            mixed++;
          }
        }
        expect(got).toEqual(expected);
        expect(composition.left.filter(({ reason }) => reason.kind !== "blank")).toEqual([]);
        for (const checksum of measureChecksums(describeUnit(composition.image, profile))) {
          expect(checksum.status === "holds" || checksum.absence?.kind === "blank", checksum.name).toBe(true);
        }
      }),
      { numRuns: 1000, seed: 20_261_125 },
    );
    expect(mixed).toBeGreaterThan(500);
  });

  it("is the source when all is carried from it", () => {
    fc.assert(
      fc.property(planCase, (one) => {
        const { profile, source, donor } = made(one, "source");
        const { composition } = composed(profile, source, donor);
        expect(composition?.image.equals(source)).toBe(true);
        expect(composition?.recomputed).toEqual([]);
      }),
      { numRuns: 300, seed: 20_261_126 },
    );
  });

  it("leaves a failing checksum failing when all that it covers comes from one unit", () => {
    fc.assert(
      fc.property(planCase, fc.nat(), (one, place) => {
        const { profile, placed, source, donor } = made(one);
        const bytes = bytesOf(source).slice();
        const at = place % bytes.length;
        bytes[at] = (bytes[at] as number) ^ 0x10;
        const { composition } = composed(profile, Image.of([{ address: 0, bytes }]), donor);
        const part = placed.find(({ start, end }) => at >= start && at < end);
        const changed = composition?.recomputed.flatMap((each) => each.bytes.map(({ address }) => address)) ?? [];
        if (part?.origin === "source" && composition && !changed.includes(at)) {
          expect(bytesOf(composition.image)[at]).toBe(bytes[at]);
        }
      }),
      { numRuns: 300, seed: 20_261_127 },
    );
  });
});

// Small memories by hand.
const memory = (parts: object = {}) =>
  profileOf({
    memory: { size: 64, erased: 255 },
    regions: [
      { name: "program", role: "program", over: [{ start: 0, length: 32 }] },
      { name: "key", role: "immobiliser", over: [{ start: 32, length: 16 }] },
      { name: "spare", role: "spare", over: [{ start: 48, length: 16 }] },
    ],
    ...parts,
  });
const filled = (byte: number, length = 64) => Image.of([{ address: 0, bytes: new Uint8Array(length).fill(byte) }]);

it("never edits what belongs to an owner, not even for a checksum", () => {
  const profile = memory({
    checksums: [
      { name: "all", algorithm: "sum16-be", over: [{ start: 0, length: 48 }], inside: "leave-out", stored: { at: 46 } },
    ],
    donor: { regions: [{ region: "key", origin: "donor", why: "its own" }] },
  });
  const source = recomputeChecksums(filled(3), profile).image;
  const donor = recomputeChecksums(filled(5), profile).image;
  const { composition } = composed(profile, source, donor);
  expect(composition?.recomputed).toEqual([]);
  expect(composition?.left.map(({ name, reason }) => [name, reason.kind])).toEqual([["all", "owned"]]);
  expect(composition?.image.read({ start: 32, end: 48 })).toEqual(donor.read({ start: 32, end: 48 }));
});

it("puts a checksum right that takes in another one which was put right", () => {
  const profile = memory({
    checksums: [
      {
        name: "inner",
        algorithm: "sum16-be",
        over: [
          { start: 0, length: 16 },
          { start: 48, length: 8 },
        ],
        stored: { at: 60 },
      },
      { name: "outer", algorithm: "sum16-be", over: [{ start: 60, length: 2 }], stored: { at: 62 } },
    ],
    donor: { regions: [{ region: "key", origin: "donor", why: "its own" }] },
  });
  const [source, donor] = [filled(3), filled(5)].map((image) => recomputeChecksums(image, profile).image) as [
    Image,
    Image,
  ];
  const { composition } = composed(profile, source, donor);
  expect(composition?.recomputed.map(({ name }) => name)).toEqual(["inner", "outer"]);
});

it("composes nothing where a region to carry or to keep is not known whole", () => {
  const profile = memory();
  expect(composed(profile, filled(3, 31), filled(5)).composition).toBeUndefined();
  expect(composed(profile, filled(3), filled(5, 63)).composition).toBeUndefined();
});

it("keeps what lies in no region as the donor has it", () => {
  const profile = profileOf({
    memory: { size: 64 },
    regions: [{ name: "program", role: "program", over: [{ start: 16, length: 16 }] }],
  });
  const { composition, plan } = composed(profile, filled(3), filled(5));
  expect([...bytesOf(composition?.image as Image)]).toEqual([
    ...new Array(16).fill(5),
    ...new Array(16).fill(3),
    ...new Array(32).fill(5),
  ]);
  expect(plan.parts.at(-1)).toMatchObject({ region: undefined, origin: "donor" });
});

it("says which regions would lie over one another when each unit states its own layout", () => {
  const profile = profileOf({
    memory: { size: 64 },
    regions: [
      { name: "program", role: "program", over: [{ start: 4, length: { field: "length" } }] },
      { name: "boot", role: "boot", over: [{ start: { sum: [4, { field: "length" }] }, length: 8 }] },
    ],
    fields: [{ name: "length", type: "unsigned", at: 0, length: 1 }],
  });
  const { plan, composition } = composed(
    profile,
    Image.of([{ address: 0, bytes: new Uint8Array(64).fill(1).fill(40, 0, 1) }]),
    Image.of([{ address: 0, bytes: new Uint8Array(64).fill(2).fill(16, 0, 1) }]),
  );
  expect(plan.moved).toEqual(["boot"]);
  expect(plan.overlapping.map(({ first, second }) => [first, second])).toEqual([["program", "boot"]]);
  expect(composition).toBeUndefined();
});
