import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { describeUnit, fieldOfMeaning, regionAt } from "../../src/unit/unit.js";
import { imageOf, profileOf, read } from "./unit-of.js";

const bytesOf = (length: number, byte: number) => new Uint8Array(length).fill(byte);

describe("a condition", () => {
  const fields = [
    { name: "kind", type: "unsigned", at: 0, length: 1 },
    { name: "mark", type: "text", at: 1, length: 1 },
    { name: "one", type: "text", at: 2, length: 1, when: { field: "kind", is: 1 } },
    { name: "named", type: "text", at: 2, length: 1, when: { field: "mark", is: "M" } },
    { name: "nested", type: "text", at: 3, length: 1, when: { field: "one", is: "x" } },
    { name: "placed", type: "text", at: { region: "late" }, length: 1 },
  ];
  const regions = [
    { name: "all", role: "program", over: [{ start: 0, length: 8 }] },
    { name: "late", role: "spare", over: [{ start: 4, length: 4 }], when: { field: "kind", is: 1 } },
  ];
  const profile = profileOf({ regions, fields });
  const unitOf = (content: string) => describeUnit(imageOf(content), profile);

  it("holds by number and by text", () => {
    const unit = unitOf("\x01Mxyz...");
    expect(["one", "named", "nested", "placed"].map((name) => read(unit, name))).toEqual(["x", "x", "y", "z"]);
    expect(unit.regions.map(({ spans }) => spans.length)).toEqual([1, 1]);
  });

  it("takes away what it does not hold for, and what depends on that has no place", () => {
    const unit = unitOf("\x02Nxyz...");
    expect(["one", "named"].map((name) => read(unit, name))).toEqual(["(not-applicable)", "(not-applicable)"]);
    expect(["nested", "placed"].map((name) => read(unit, name))).toEqual(["(field-unreadable)", "(region-unplaced)"]);
    expect(unit.regions[1]).toEqual({ name: "late", role: "spare", spans: [] });
    expect(unit.holds({ field: "kind", is: 1 })).toBe(false);
    expect(unit.holds({ field: "nested", is: "y" })).toBeUndefined();
    expect(unit.holds(undefined)).toBe(true);
  });

  it("leaves open what an unread field decides", () => {
    const unit = unitOf("");
    expect(read(unit, "one")).toBe("(field-unreadable)");
    expect(unit.regions[1]?.obstacle).toEqual({ kind: "field-unreadable", field: "kind" });
  });
});

describe("holes", () => {
  const memory = { erased: "0xFF", holes: "erased" };
  const regions = [
    {
      name: "program",
      role: "program",
      over: [
        { start: 0, length: 64 },
        { start: 128, length: 64 },
      ],
    },
    { name: "data", role: "calibration", over: [{ start: 64, length: 64 }] },
  ];
  const fields = [{ name: "it", type: "hex", at: 16, length: 2 }];
  const image = Image.of([
    { address: 0, bytes: bytesOf(8, 1) },
    { address: 130, bytes: bytesOf(2, 2) },
  ]);

  it("are read as erased inside a region that is otherwise there, where the profile allows it", () => {
    const unit = describeUnit(image, profileOf({ memory, regions, fields }));
    expect(unit.erasedHoles).toEqual([
      { start: 8, end: 64 },
      { start: 128, end: 130 },
      { start: 132, end: 192 },
    ]);
    expect(unit.read).toBe(image);
    expect(unit.image.byteAt(8)).toBe(0xff);
    expect(unit.image.byteAt(64)).toBeUndefined();
    expect(read(unit, "it")).toBe("ffff (erased)");
  });

  it("stay holes in a region of which nothing was read, without leave, and where the caller says so", () => {
    const unknown = describeUnit(image, profileOf({ memory: { erased: "0xFF" }, regions, fields }));
    const cut = describeUnit(image, profileOf({ memory, regions, fields }), "unknown");
    for (const unit of [unknown, cut]) {
      expect(unit.erasedHoles).toEqual([]);
      expect(unit.image).toBe(image);
      expect(read(unit, "it")).toBe("(unread)");
    }
  });

  it("that are read as erased can make a pointer readable", () => {
    const pointed = [
      { name: "pointer", type: "unsigned", at: 16, length: 1 },
      { name: "it", type: "hex", at: { field: "pointer", plus: -251 }, length: 1 },
    ];
    const unit = describeUnit(image, profileOf({ memory, regions, fields: pointed }));
    expect(read(unit, "it")).toBe("01");
  });
});

describe("a unit", () => {
  const regions = [
    {
      name: "program",
      role: "program",
      over: [
        { start: 32, length: 32 },
        { start: 0, length: 32 },
      ],
    },
    { name: "learnt", role: "adaptation", over: [{ start: 64, length: 16 }] },
    { name: "faults", role: "faults", over: [{ start: 80, length: 16 }] },
    { name: "far", role: "spare", over: [{ start: { field: "size" }, length: 16 }] },
  ];
  const fields = [
    { name: "size", type: "unsigned", at: 0, length: 4, order: "big" },
    { name: "serial", type: "text", means: "serial-number", at: 4, length: 2, when: { field: "size", is: 5 } },
    { name: "other", type: "text", means: "serial-number", at: 6, length: 2 },
  ];
  const volatile = [
    {
      over: [
        { start: 90, length: 20 },
        { start: { field: "size", times: -1 }, length: 4 },
      ],
      why: "counter",
    },
  ];
  const unit = describeUnit(
    imageOf(`\xff\xff\xff\xf8AABB${".".repeat(120)}`),
    profileOf({ regions, fields, volatile }),
  );

  it("has its regions sorted and joined, and those that leave the memory without a place", () => {
    expect(unit.regions[0]?.spans).toEqual([{ start: 0, end: 64 }]);
    expect(unit.regions[3]).toMatchObject({ spans: [], obstacle: { kind: "outside-memory" } });
  });

  it("knows what it writes by itself", () => {
    expect(unit.volatile).toEqual([{ start: 64, end: 110 }]);
  });

  it("finds a field by its meaning among those that apply", () => {
    expect(fieldOfMeaning(unit, "serial-number")).toMatchObject({ status: "read", shown: "BB" });
    expect(fieldOfMeaning(unit, "machine-number")).toBeUndefined();
  });

  it("finds the region at an address", () => {
    expect(regionAt(unit.regions, { start: 79, end: 81 })?.name).toBe("learnt");
    expect(regionAt(unit.regions, { start: 96, end: 97 })).toBeUndefined();
  });
});

describe("a region whose length a field tells", () => {
  const memory = { base: 0x1000, size: [64, 128], erased: "0xFF", holes: "erased" };
  const fields = [{ name: "length", type: "unsigned", at: 0x1000, length: 4, order: "big" }];
  const regions = [{ name: "all", role: "spare", over: [{ start: 0x1000, length: { field: "length" } }] }];
  const of = (length: number) => {
    const bytes = Array.from({ length: 8 }, (_, i) => (i < 4 ? (length >>> (24 - 8 * i)) & 0xff : 1));
    return describeUnit(imageOf(bytes, 0x1000), profileOf({ memory, fields, regions }));
  };

  it("reaches as far as the largest memory of the family, and no further", () => {
    expect(of(128).regions[0]?.spans).toEqual([{ start: 0x1000, end: 0x1080 }]);
    expect(of(128).erasedHoles).toEqual([{ start: 0x1008, end: 0x1080 }]);
    for (const length of [129, 0x0fff_ffff]) {
      const { regions: placed, erasedHoles } = of(length);
      expect(placed[0]).toMatchObject({ spans: [], obstacle: { kind: "outside-memory", end: 0x1000 + length } });
      expect(erasedHoles).toEqual([]);
    }
  });
});
