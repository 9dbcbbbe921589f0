import { describe, expect, it } from "vitest";
import { MEMORY_END } from "../../src/bytes/span.js";
import { type Obstacle, placedSpan } from "../../src/unit/place.js";
import { describeUnit } from "../../src/unit/unit.js";
import { obstacleText } from "../../src/unit/words.js";
import { imageOf, profileOf, read, readOne } from "./unit-of.js";

/** A header: length 8 at 0 (big), pointer 20 at 2 (little), shift 3 at 4, kind "B" at 5; content behind. */
const content = "\x00\x08\x14\x00\x03B..HEAD:ABCD....WXYZ....";
const fields = [
  { name: "length", type: "unsigned", at: 0, length: 2, order: "big" },
  { name: "pointer", type: "unsigned", at: 2, length: 2, order: "little" },
  { name: "shift", type: "unsigned", at: 4, length: 1 },
  { name: "kind", type: "text", at: 5, length: 1 },
];

function readAt(at: unknown, length: unknown = 4, image = imageOf(content)): string {
  const regions = [
    { name: "all", role: "program", over: [{ start: 0, length: 12 }] },
    { name: "rest", role: "program", over: [{ start: 12, end: { fromEnd: 0 } }] },
  ];
  const profile = profileOf({ regions, fields: [...fields, { name: "it", type: "text", at, length }] });
  return read(describeUnit(image, profile), "it");
}

describe("a place", () => {
  it.each<[string, unknown, string]>([
    ["at an address", 8, "HEAD"],
    ["counted from the end", { fromEnd: 8 }, "WXYZ"],
    ["counted from the end by a field", { fromEnd: { field: "length" } }, "WXYZ"],
    ["at the start of a region", { region: "rest" }, ":ABC"],
    ["inside a region", { region: "rest", plus: 1 }, "ABCD"],
    ["before a region", { region: "rest", plus: -4 }, "HEAD"],
    ["behind a pointer", { field: "pointer" }, ".WXY"],
    ["near a pointer", { field: "pointer", plus: 1 }, "WXYZ"],
    ["at a multiple", { field: "shift", times: 7 }, "WXYZ"],
    ["at a power of two", { twoToThe: "shift" }, "HEAD"],
    ["at a multiple of a power of two", { twoToThe: "shift", times: 2 }, "D..."],
    ["by cases", { field: "kind", cases: { A: 0, B: 13 } }, "ABCD"],
    ["by cases, for every other value", { field: "kind", cases: { A: 0 }, otherwise: 8 }, "HEAD"],
    ["at a sum", { sum: [{ field: "length" }, { field: "shift", times: 2 }, -1] }, "ABCD"],
    ["rounded up", { roundUp: { field: "shift" }, to: { field: "length" } }, "HEAD"],
    ["rounded up to itself", { roundUp: 8, to: { field: "length" } }, "HEAD"],
    ["after a text", { after: { text: "HEAD:" } }, "ABCD"],
    ["near a text", { after: { hex: "48 45 41 44" }, plus: -4 }, "HEAD"],
    ["after a text within bounds", { after: { text: "..", within: { start: 0, length: 9 } } }, "HEAD"],
  ])("%s", (_, at, shown) => expect(readAt(at)).toBe(shown));

  it.each<[string, unknown, string]>([
    ["no case", { field: "kind", cases: { A: 0 } }, "(value-without-case)"],
    ["no such text", { after: { text: "TAIL" } }, "(anchor-missing)"],
    ["no such text within bounds", { after: { text: "HEAD", within: { start: 9, length: 8 } } }, "(anchor-missing)"],
    ["a text cut by its bounds", { after: { text: "HEAD", within: { start: 8, length: 3 } } }, "(anchor-missing)"],
    ["two such texts", { after: { text: "...." } }, "(anchor-ambiguous)"],
    ["two such texts that overlap", { after: { text: "..", within: { start: 17, length: 3 } } }, "(anchor-ambiguous)"],
    ["no memory below 0", { fromEnd: 1000 }, "(outside-memory)"],
    ["no memory at negative places", { field: "shift", times: -1 }, "(outside-memory)"],
    ["no memory above 2**32", { sum: ["0xFFFFFFFE"] }, "(outside-memory)"],
    ["no power so large", { twoToThe: "pointer", times: "0xFFFFFFFF" }, "(outside-memory)"],
    ["nothing read there", { fromEnd: 2 }, "(unread)"],
    ["no multiple of 0", { roundUp: 1, to: { field: "length", plus: -8 } }, "(no-multiple)"],
  ])("has none where there is %s", (_, at, shown) => expect(readAt(at)).toBe(shown));

  it("has none where its field has none", () => {
    const shorter = imageOf(content.slice(0, 3));
    expect(readAt({ field: "pointer" }, 4, shorter)).toBe("(field-unreadable)");
    expect(readAt({ field: "kind", cases: {}, otherwise: 0 }, 4, shorter)).toBe("(field-unreadable)");
    expect(readAt(0, { field: "shift" }, shorter)).toBe("(field-unreadable)");
  });

  it("may have a length that a field states", () => {
    expect(readAt(8, { field: "length" })).toBe("HEAD:ABC");
    expect(readAt(8, { field: "length", times: 0 })).toBe("(unread)");
    expect(readAt(8, { field: "length", times: -1 })).toBe("(outside-memory)");
  });

  it("counts from the end of the memory where its size is stated, else from the end of what was read", () => {
    const profile = (memory: object) =>
      profileOf({ memory, fields: [{ name: "it", type: "text", at: { fromEnd: 4 }, length: 4 }] });
    const image = imageOf("..........ABCD..", 0x100);
    expect(read(describeUnit(image, profile({})), "it")).toBe("CD..");
    const sized = {
      memory: { base: 0x100, size: 14 },
      regions: [{ name: "all", role: "program", over: [{ start: 0x100, length: 14 }] }],
    };
    const field = { name: "it", type: "text", at: { fromEnd: 4 }, length: 4 };
    expect(read(describeUnit(image, profileOf({ ...sized, fields: [field] })), "it")).toBe("ABCD");
  });

  it("may lie at the very end of memory", () => {
    const unit = describeUnit(imageOf("LAST", MEMORY_END - 4), profileOf({}));
    expect(placedSpan(MEMORY_END - 4, 4, unit.around).value).toEqual({ start: MEMORY_END - 4, end: MEMORY_END });
    expect(placedSpan(MEMORY_END - 4, 5, unit.around).obstacle?.kind).toBe("outside-memory");
  });

  it("is searched in time linear in the image and the text", () => {
    const zeros = new Uint8Array(8 * 1024 * 1024);
    zeros[zeros.length - 1] = 1;
    const at = { after: { hex: `${"00".repeat(255)}02` } };
    expect(readOne({ type: "text", length: 1, at }, zeros)).toBe("(anchor-missing)");
  });
});

describe("the words for what stands in the way", () => {
  it.each<[Obstacle, string]>([
    [{ kind: "field-unreadable", field: "size" }, "it depends on the field size, which has no usable value"],
    [{ kind: "region-unplaced", region: "data" }, "it depends on the region data, which has no place here"],
    [{ kind: "value-without-case", field: "kind", value: "3" }, "the profile has no case for the value 3 of kind"],
    [{ kind: "no-multiple", of: 0 }, "it is to be a multiple of 0, which is no size"],
    [{ kind: "anchor-missing", anchor: "HEAD" }, 'the text "HEAD" that it stands behind is not there'],
    [{ kind: "outside-memory", start: -4, end: 0 }, "it would lie from -4 to 0, which is no place in memory"],
  ])("%j", (obstacle, text) => expect(obstacleText(obstacle)).toBe(text));
});
