import { describe, expect, it } from "vitest";
import { Image } from "../../src/image/image.js";
import { readMeasurementDescription } from "../../src/names/description.js";
import { NameIndex } from "../../src/names/place.js";
import { askPair } from "../../src/questions/pair.js";

// Grammar of ASAM MCD-2 MC 1.6, from memory; sizes and places follow from the layout by counting, beside each.

const axis = (points: number, kind = "STD_AXIS") => `/begin AXIS_DESCR ${kind} N C ${points} 0 1 /end AXIS_DESCR`;
const object = (kind: string, layout: string, more: string, address = "0x1000") =>
  `/begin CHARACTERISTIC Thing "" ${kind} ${address} ${layout} 0 C 0 1 ${more} /end CHARACTERISTIC`;
const describing = (layout: string, objects: string, common = "") =>
  readMeasurementDescription(`/begin PROJECT P "" /begin MODULE M "" /begin MOD_COMMON "" ${common} /end MOD_COMMON
    /begin RECORD_LAYOUT L ${layout} /end RECORD_LAYOUT ${objects} /end MODULE /end PROJECT`);
const sizeOf = (layout: string, kind: string, more: string, common = "") => {
  const [thing] = describing(layout, object(kind, "L", more), common).objects;
  return thing?.sized ? thing.span.end - thing.span.start : undefined;
};
const partAt = (layout: string, kind: string, more: string, offset: number, length = 1, common = "") => {
  const index = new NameIndex(describing(layout, object(kind, "L", more), common));
  const start = 0x1000 + offset;
  const part = index.placesIn({ start, end: start + length }).places[0]?.part;
  return part && `${part.what} ${part.first}-${part.last}`;
};

describe("a record layout", () => {
  it("places values behind each other as their types are aligned", () => {
    const mixed = "IDENTIFICATION 1 UBYTE AXIS_PTS_X 2 UWORD INDEX_INCR DIRECT FNC_VALUES 3 ULONG ROW_DIR DIRECT";
    expect(sizeOf(mixed, "CURVE", axis(3))).toBe(1 + 1 + 6 + 12); // a byte of padding before the words, none after
    expect(sizeOf(mixed, "CURVE", axis(3), "ALIGNMENT_WORD 1 ALIGNMENT_LONG 1")).toBe(1 + 6 + 12);
    expect(sizeOf(`${mixed} ALIGNMENT_WORD 4`, "CURVE", axis(3), "ALIGNMENT_WORD 1")).toBe(4 + 6 + 2 + 12);
    const wide = "IDENTIFICATION 1 ULONG FNC_VALUES 2 FLOAT64_IEEE ROW_DIR DIRECT";
    expect(sizeOf(wide, "VALUE", "")).toBeUndefined(); // at 4 or at 8: not known
    expect(sizeOf(wide, "VALUE", "", "ALIGNMENT_FLOAT64_IEEE 4")).toBe(12);
    expect(sizeOf(wide, "VALUE", "", "ALIGNMENT_FLOAT64_IEEE 8")).toBe(16);
  });

  it("lays each value of a curve beside its point", () => {
    const layout = "AXIS_PTS_X 1 UWORD INDEX_INCR DIRECT FNC_VALUES 2 SWORD ALTERNATE_WITH_X DIRECT";
    expect(sizeOf(layout, "CURVE", axis(5))).toBe(20);
    expect(partAt(layout, "CURVE", axis(5), 9, 4)).toBe("pairs 3-4");
    // A word behind a byte leaves a byte between: each pair takes four.
    const padded = "AXIS_PTS_X 1 UBYTE INDEX_INCR DIRECT FNC_VALUES 2 SWORD ALTERNATE_WITH_X DIRECT";
    expect(sizeOf(padded, "CURVE", axis(5))).toBe(20);
    // A byte behind a word does not: the second pair would begin at an odd address, and the third would not.
    const uneven = "AXIS_PTS_X 1 UWORD INDEX_INCR DIRECT FNC_VALUES 2 SBYTE ALTERNATE_WITH_X DIRECT";
    expect(sizeOf(uneven, "CURVE", axis(5), "ALIGNMENT_WORD 1")).toBe(15);
    expect(sizeOf("FNC_VALUES 1 SWORD ALTERNATE_WITH_X DIRECT", "CURVE", axis(5))).toBeUndefined();
  });

  it("lays each line of a map behind its point", () => {
    const points = "AXIS_PTS_Y 1 UWORD INDEX_INCR DIRECT AXIS_PTS_X 2 UWORD INDEX_INCR DIRECT";
    const withX = `${points} FNC_VALUES 3 SWORD ALTERNATE_WITH_X DIRECT`;
    const axes = `${axis(4)} ${axis(3)}`; // four points of x, three of y
    expect(sizeOf(withX, "MAP", axes)).toBe(6 + 4 * (2 + 6));
    expect(partAt(withX, "MAP", axes, 6 + 8, 16)).toBe("columns 2-3");
    const withY = points.replace("_Y 1", "_Z 1").replace("_X 2", "_Y 2").replace("_Z 1", "_X 1");
    const laid = `${withY} FNC_VALUES 3 SWORD ALTERNATE_WITH_Y DIRECT`;
    expect(sizeOf(laid, "MAP", axes)).toBe(8 + 3 * (2 + 8));
    expect(partAt(laid, "MAP", axes, 8 + 10)).toBe("rows 2-2");
    expect(partAt(laid, "MAP", axes, 2)).toBe("axis-x 2-2");
  });

  it("knows cuboids by their planes", () => {
    const axes = [3, 2, 4].map((points) => axis(points, "FIX_AXIS")).join(" ");
    expect(sizeOf("FNC_VALUES 1 SWORD ROW_DIR DIRECT", "CUBOID", axes)).toBe(48);
    expect(partAt("FNC_VALUES 1 SWORD ROW_DIR DIRECT", "CUBOID", axes, 12, 13)).toBe("planes 2-3");
    const own = "AXIS_PTS_Z 1 UWORD INDEX_INCR DIRECT FNC_VALUES 2 UBYTE ROW_DIR DIRECT";
    expect(sizeOf(own, "CUBOID", axes)).toBe(8 + 24);
    expect(partAt(own, "CUBOID", axes, 5)).toBe("axis-z 3-3");
    expect(sizeOf("FNC_VALUES 1 UBYTE ROW_DIR DIRECT", "CUBE_4", `${axes} ${axis(2)}`)).toBe(48);
  });

  it.each([
    ["data behind a pointer", "FNC_VALUES 1 SWORD ROW_DIR PLONG", "CURVE"],
    ["an axis behind a pointer", "AXIS_PTS_X 1 UWORD INDEX_INCR PWORD FNC_VALUES 2 SWORD ROW_DIR DIRECT", "CURVE"],
    ["curves that alternate", "FNC_VALUES 1 SWORD ALTERNATE_CURVES DIRECT", "CURVE"],
    ["a type that is not known", "FNC_VALUES 1 SOMETHING ROW_DIR DIRECT", "CURVE"],
    ["a word that is not known", "FNC_VALUES 1 SWORD ROW_DIR DIRECT NEW_PART 2 UBYTE", "CURVE"],
    ["a kind that is not known", "FNC_VALUES 1 SWORD ROW_DIR DIRECT", "CUBE_9"],
  ])("with %s has no size, and says so", (_name, layout, kind) => {
    const description = describing(layout, object(kind, "L", axis(4)));
    expect(description.objects[0]).toMatchObject({ sized: false, span: { start: 0x1000, end: 0x1001 }, parts: [] });
    expect(description.leftOut).toEqual(["the size of 1 objects: their first byte is named"]);
  });

  it("counts no points of an axis that lies the other way round", () => {
    const layout = "AXIS_PTS_X 1 UWORD INDEX_DECR DIRECT FNC_VALUES 2 SWORD ROW_DIR DIRECT";
    expect(partAt(layout, "CURVE", axis(4), 2)).toBeUndefined();
    expect(partAt(layout, "CURVE", axis(4), 10)).toBe("values 2-2");
  });

  it("takes the number of points that it states itself", () => {
    const layout = "FIX_NO_AXIS_PTS_X 3 AXIS_PTS_X 1 UWORD INDEX_INCR DIRECT FNC_VALUES 2 SWORD ROW_DIR DIRECT";
    expect(sizeOf(layout, "CURVE", axis(8))).toBe(12);
    const rescaled = "NO_RESCALE_X 1 UBYTE AXIS_RESCALE_X 2 UBYTE 5 INDEX_INCR DIRECT";
    const points = `/begin AXIS_PTS A "" 0x1000 N L 0 C 9 0 1 /end AXIS_PTS`;
    const [thing] = describing(rescaled, points).objects;
    expect(thing?.span).toEqual({ start: 0x1000, end: 0x100b });
  });
});

describe("an object without a place of its own", () => {
  const layout = "FNC_VALUES 1 UBYTE ROW_DIR DIRECT";
  it.each([
    ["VIRTUAL_CHARACTERISTIC", '/begin VIRTUAL_CHARACTERISTIC "X1" A /end VIRTUAL_CHARACTERISTIC', "are computed"],
    ["ECU_ADDRESS_EXTENSION", "ECU_ADDRESS_EXTENSION 0x2", "in an address space of their own"],
  ])("is not named: %s", (_name, more, told) => {
    const description = describing(layout, object("VALUE", "L", more));
    expect(description.objects).toEqual([]);
    expect(description.leftOut[0]).toContain(told);
    const plain = describing(layout, object("VALUE", "L", "ECU_ADDRESS_EXTENSION 0x0"));
    expect(plain.objects).toHaveLength(1);
  });
});

describe("a table whose number of points stands in the memory", () => {
  const counted = "NO_AXIS_PTS_X 1 UWORD AXIS_PTS_X 2 UWORD INDEX_INCR DIRECT FNC_VALUES 3 UBYTE ROW_DIR DIRECT";
  const imageWith = (first: number, second: number, changed = 0) => {
    const bytes = Uint8Array.from({ length: 64 }, (_, i) => (i === 24 ? changed : i * 7));
    bytes.set([first, second]);
    return Image.of([{ address: 0x1000, bytes }]);
  };
  const named = (layout: string, left: Image, right: Image, common = "BYTE_ORDER MSB_FIRST") => {
    const input = (role: string, image: Image) => ({
      role,
      name: role,
      bytes: 64,
      sha256: role.length.toString(16).padStart(64, "0"),
      decoded: { format: "raw" as const, image, findings: [], originOf: () => undefined },
    });
    const inputs = [input("left", left), input("right", right)] as const;
    const segment =
      '/begin MOD_PAR "" /begin MEMORY_SEGMENT Cal "" DATA FLASH INTERN 0x1000 0x40 -1 -1 -1 -1 -1 /end MEMORY_SEGMENT /end MOD_PAR';
    const description = describing(layout, `${segment} ${object("CURVE", "L", axis(10))}`, common);
    const names = { file: "x.a2l", description };
    const report = askPair({ left: inputs[0], right: inputs[1], names, version: "0" });
    return report.differences?.map(({ names: own }) =>
      own?.map(({ name, part }) => [name, part && `${part.what} ${part.first}`]),
    );
  };

  it("has rows only where both images have as many as there may be", () => {
    expect(named(counted, imageWith(0, 10), imageWith(0, 10, 1))).toEqual([[["Thing", "values 3"]]]);
    expect(named(counted, imageWith(0, 9), imageWith(0, 9, 1))).toEqual([[["Thing", null]]]);
    expect(named(counted, imageWith(10, 0), imageWith(10, 0, 1))).toEqual([[["Thing", null]]]);
    expect(named(counted, imageWith(10, 0), imageWith(10, 0, 1), "BYTE_ORDER MSB_LAST")).toEqual([
      [["Thing", "values 3"]],
    ]);
    const still = `${counted} STATIC_RECORD_LAYOUT`;
    expect(named(still, imageWith(0, 3), imageWith(0, 3, 1))).toEqual([[["Thing", "values 3"]]]);
    const behind = "AXIS_PTS_X 1 UWORD INDEX_INCR DIRECT NO_AXIS_PTS_X 2 UWORD FNC_VALUES 3 UBYTE ROW_DIR DIRECT";
    expect(named(behind, imageWith(0, 10), imageWith(0, 10, 1))).toEqual([[["Thing", null]]]);
  });

  it("is followed by what lies in a segment at least", () => {
    const beside = (address: number) => {
      const bytes = new Uint8Array(64);
      bytes[address - 0x1000] = 1;
      return Image.of([{ address: 0x1000, bytes }]);
    };
    expect(named(counted, beside(0x1030), beside(0x1031))).toEqual([[["Cal (DATA, FLASH)", null]]]);
  });
});

describe("a description in several files", () => {
  const plain = object("VALUE", "L", "");
  const whole = (inside: string) =>
    `/begin PROJECT P "" /begin MODULE M "" /begin RECORD_LAYOUT L FNC_VALUES 1 UBYTE ROW_DIR DIRECT /end RECORD_LAYOUT ${inside} /end MODULE /end PROJECT`;

  it("is read with them in their places, each by its path from the first", () => {
    const text = whole('/include "parts/all.aml" /include other.a2l');
    expect(readMeasurementDescription(text).missing).toEqual(["parts/all.aml", "other.a2l"]);
    const some = new Map([["parts/all.aml", '/include "values.a2l"']]);
    expect(readMeasurementDescription(text, some).missing).toEqual(["parts/values.a2l", "other.a2l"]);
    const files = new Map([...some, ["parts/values.a2l", plain], ["other.a2l", object("VALUE", "L", "", "0x2000")]]);
    const { objects, missing, leftOut } = readMeasurementDescription(text, files);
    expect(objects.map(({ span }) => span.start)).toEqual([0x1000, 0x2000]);
    expect([missing, leftOut]).toEqual([[], []]);
  });

  it("may not include itself, nor grow without bounds", () => {
    const circle = new Map([
      ["a", '/include "b"'],
      ["b", '/include "a"'],
    ]);
    expect(() => readMeasurementDescription(whole("/include a"), circle)).toThrow(/files of at most 16 levels/);
    const many = new Map([
      ["a", "/include b ".repeat(100)],
      ["b", "/include c ".repeat(100)],
      ["c", "1"],
    ]);
    expect(() => readMeasurementDescription(whole("/include a"), many)).toThrow(/at most 1000 files/);
    const wide = new Map([["a", " ".repeat(2 ** 20)]]);
    expect(() => readMeasurementDescription(whole("/include a ".repeat(300)), wide)).toThrow(/characters/);
  });

  it("says in which of them something is wrong", () => {
    const broken = new Map([["parts/a.a2l", '\n\n/begin CHARACTERISTIC "x']]);
    expect(() => readMeasurementDescription(whole("/include parts/a.a2l"), broken)).toThrow(
      /^parts\/a\.a2l, line 3: expected an end of each string/,
    );
    const open = new Map([["a", "\n/end X"]]);
    expect(() => readMeasurementDescription(whole("/include a"), open)).toThrow(/^a, line 2: expected \/end MODULE/);
  });

  it("leaves the files of a vendor's section to the vendor", () => {
    const vendor = whole('/begin A2ML /include "x.aml" /end A2ML /begin IF_DATA V /include y /end IF_DATA');
    expect(readMeasurementDescription(vendor).missing).toEqual([]);
  });
});
