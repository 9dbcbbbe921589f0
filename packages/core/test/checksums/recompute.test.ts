import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { measureChecksums } from "../../src/checksums/measure.js";
import { recomputeChecksums } from "../../src/checksums/recompute.js";
import { Image } from "../../src/image/image.js";
import { describeUnit } from "../../src/unit/unit.js";
import { publishedProfile, rawImage, vectorFile } from "../profile/published.js";
import { apart, content, imageOf, profileWith } from "./measured.js";

const statuses = (image: Image, profile: Parameters<typeof describeUnit>[1]) =>
  measureChecksums(describeUnit(image, profile)).map(({ status }) => status);

describe("checksums placed anew", () => {
  // Named against their order: the last must be placed first.
  const whole = { at: 36, form: "whole-comes-to-constant" };
  const chain = profileWith([
    { algorithm: "sum16-be", over: [{ start: 0, length: 64 }], inside: "leave-out", stored: { at: 62 } },
    { algorithm: "CRC-32/ISO-HDLC", over: [{ start: 0, length: 40 }], stored: whole },
    { algorithm: "CRC-16/XMODEM", over: [{ start: 0, length: 16 }], stored: { at: 16, form: "value-and-complement" } },
  ]);

  it("hold, each after those that it covers", () => {
    const before = imageOf(content(80));
    const { image, changes, left } = recomputeChecksums(before, chain);
    expect(left).toEqual([]);
    expect(changes.map(({ name }) => name)).toEqual(["check-c", "check-b", "check-a"]);
    expect(statuses(image, chain)).toEqual(["holds", "holds", "holds"]);
    expect(statuses(before, chain)).toEqual(["fails", "fails", "fails"]);
    for (const { at, before: was, after } of changes) {
      expect(was).not.toBe(after);
      expect(image.read(at)).not.toEqual(before.read(at));
    }
    const untouched = [
      { start: 0, end: 16 },
      { start: 20, end: 36 },
      { start: 40, end: 62 },
      { start: 64, end: 80 },
    ];
    for (const span of untouched) expect(image.read(span)).toEqual(before.read(span));
  });

  it("leave an image alone in which all hold", () => {
    const sound = recomputeChecksums(imageOf(content(80)), chain).image;
    expect(recomputeChecksums(sound, chain)).toEqual({ image: sound, changes: [], left: [] });
    expect(recomputeChecksums(sound, chain).image).toBe(sound);
  });

  it("never write into the image that was given", () => {
    const bytes = content(80);
    const copy = bytes.slice();
    recomputeChecksums(Image.of([{ address: 0, bytes }]), chain);
    expect(bytes).toEqual(copy);
  });

  it("are reported where they cover each other, and others are placed all the same", () => {
    const circle = profileWith([
      { algorithm: "sum8", over: [{ start: 0, end: 18 }], inside: "leave-out", stored: { at: 16 } },
      { algorithm: "sum8", over: [{ start: 0, end: 18 }], inside: "leave-out", stored: { at: 17 } },
      { algorithm: "sum8", over: [{ start: 0, end: 16 }], stored: { at: 20 } },
      { algorithm: "sum8", over: [{ start: 0, end: 22 }], stored: { at: 30 } },
    ]);
    const { image, changes, left } = recomputeChecksums(imageOf(content(40)), circle);
    const reason = { kind: "circle", names: ["check-a", "check-b"] };
    expect(left).toEqual([
      { name: "check-a", at: { start: 16, end: 17 }, reason },
      { name: "check-b", at: { start: 17, end: 18 }, reason },
    ]);
    expect(changes.map(({ name }) => name)).toEqual(["check-c", "check-d"]);
    expect(statuses(image, circle).slice(2)).toEqual(["holds", "holds"]);
  });

  it("are reported where two have one place, where nothing is known, and where nothing can be solved", () => {
    const profile = profileWith([
      { algorithm: "sum8", over: [{ start: 0, end: 8 }], stored: { at: 16 } },
      { algorithm: "xor8", over: [{ start: 0, end: 8 }], stored: { at: 16 } },
      { algorithm: "sum8", over: [{ start: 0, end: 8 }], stored: { at: 100 } },
      { algorithm: "SHA-1", over: [{ start: 0, end: 64 }], stored: { at: 20, form: "whole-comes-to-constant" } },
      { algorithm: "sum8", over: [{ start: 0, end: 4 }], stored: { at: { after: { text: "nowhere" } } } },
      { algorithm: "sum8", over: [{ start: 64, end: 72 }], stored: { at: 72 } },
    ]);
    const bytes = content(80);
    bytes.fill(0xff, 64);
    const { changes, left } = recomputeChecksums(imageOf(bytes), profile);
    expect(changes).toEqual([]);
    expect(left.map(({ name, reason }) => `${name} ${reason.kind}`).sort()).toEqual([
      "check-a shared-place",
      "check-b shared-place",
      "check-c stored-unknown",
      "check-d no-solution",
      "check-e place",
      "check-f blank",
    ]);
  });

  it("keep holes as holes, but for the value that is put into one that reads as erased", () => {
    const memory = { erased: "0xFF", holes: "erased" };
    const regions = [{ name: "all", role: "program", over: [{ start: 0, length: 64 }] }];
    const profile = profileWith([{ algorithm: "sum16-be", over: [{ start: 0, length: 32 }], stored: { at: 40 } }], {
      memory,
      regions,
    });
    const { image, changes } = recomputeChecksums(imageOf(content(16)), profile);
    expect(changes).toMatchObject([{ before: "ffff", at: { start: 40, end: 42 } }]);
    expect(image.spans).toEqual([
      { start: 0, end: 16 },
      { start: 40, end: 42 },
    ]);
    expect(statuses(image, profile)).toEqual(["holds"]);
  });

  it("are many and fast: 8000 in a chain, each over the one before", () => {
    const repeat = { count: 8000, every: 4 };
    const profile = profileWith([
      { algorithm: "CRC-16/XMODEM", over: [{ start: 0, length: 4 }], stored: { at: 4 }, repeat },
    ]);
    const { image, changes, left } = recomputeChecksums(imageOf(content(40_000)), profile);
    expect(left).toEqual([]);
    expect(changes[0]?.name).toBe("check-a-1");
    expect(new Set(statuses(image, profile))).toEqual(new Set(["holds"]));
  });

  it.each([
    ["edid-two-tiles", "edid/display-tile-0.bin", 266],
    ["edid-two-tiles", "edid/display-tile-1.bin", 300],
    ["edid", "edid/acer-xv273k-dp1.bin", 12],
    ["edid", "edid/dell-p2415q-dp.bin", 200],
  ])("mend a changed byte of %s, from %s", (name, file, at) => {
    const profile = publishedProfile(name);
    const bytes = vectorFile(file);
    const sound = rawImage(bytes, profile);
    expect(recomputeChecksums(sound, profile).changes).toEqual([]);
    bytes[at] = (bytes[at] as number) ^ 0x10;
    const { image, left } = recomputeChecksums(rawImage(bytes, profile), profile);
    expect(left).toEqual([]);
    expect(statuses(rawImage(bytes, profile), profile)).toContain("fails");
    expect(new Set(statuses(image, profile))).toEqual(new Set(["holds"]));
  });

  it("turn the one half of a display into the other: position and inner checksum", () => {
    const profile = publishedProfile("edid-two-tiles");
    const left = vectorFile("edid/display-tile-0.bin");
    const right = rawImage(vectorFile("edid/display-tile-1.bin"), profile);
    left[266] = 0x10;
    expect(recomputeChecksums(rawImage(left, profile), profile).image.equals(right)).toBe(true);
  });
});

describe("any checksums of any image", () => {
  const algorithm = fc.constantFrom(
    "CRC-32/ISO-HDLC",
    "CRC-16/ARC",
    "sum8",
    "sum16-le",
    "sum32-be",
    "xor8",
    "adler32",
    "SHA-1",
  );
  // Blocks of 64 bytes. Each checksum is stored in a block of its own, covers blocks before it, and perhaps its own.
  const rules = fc.uniqueArray(
    fc.record({
      block: fc.integer({ min: 1, max: 15 }),
      offset: fc.integer({ min: 0, max: 5 }),
      algorithm,
      covered: fc.array(fc.tuple(fc.nat(), fc.nat()), { minLength: 1, maxLength: 3 }),
      own: fc.boolean(),
      form: fc.constantFrom("value", "complement", "negated", "value-and-complement"),
      order: fc.constantFrom("big", "little"),
      inside: fc.constantFrom("leave-out", { fill: 0 }, { fill: 255 }),
    }),
    { selector: ({ block }) => block, minLength: 1, maxLength: 8 },
  );

  it("hold after being placed, and stay as they are when placed again", () => {
    fc.assert(
      fc.property(rules, fc.nat(), (list, seed) => {
        const checksums = list.map(({ block, offset, covered, own, form, order, inside, ...rest }, i) => {
          const over = apart(
            covered.map(([a, b]) => {
              const start = a % (64 * block - 4);
              // Of so many bytes the content is never blank, as a single one may be.
              return { start, length: 4 + (b % (64 * block - start - 3)) };
            }),
          );
          const all = own ? [...over, { start: 64 * block, length: 64 }] : over;
          const at = 64 * block + 4 * offset;
          return { name: `sum-of-${i}`, ...rest, over: all, inside, stored: { at, form, order } };
        });
        const profile = profileWith(checksums);
        const first = recomputeChecksums(imageOf(content(1024, seed)), profile);
        expect(first.left).toEqual([]);
        expect(new Set(statuses(first.image, profile))).toEqual(new Set(["holds"]));
        expect(recomputeChecksums(first.image, profile).changes).toEqual([]);
      }),
      { numRuns: 200 },
    );
  });
});
