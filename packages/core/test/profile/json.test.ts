import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { readJson } from "../../src/profile/json.js";

function refusalOf(text: string): Refusal {
  try {
    readJson(text);
  } catch (error) {
    if (error instanceof Refusal) return error;
    throw error;
  }
  throw new Error(`expected a refusal of ${text.slice(0, 60)}`);
}

describe("strict JSON", () => {
  it.each([
    ["{}", {}],
    ["[]", []],
    ["  null ", null],
    ['"a\\u0041\\n"', "aA\n"],
    ['{"a":{"b":[1,-2.5e3,true,false]}}', { a: { b: [1, -2500, true, false] } }],
    ['\uFEFF{"a":1}', { a: 1 }],
    ['{"a":"0012","b":"9007199254740993"}', { a: "0012", b: "9007199254740993" }],
    ['{"a\\"b":{"":1}}', { 'a"b': { "": 1 } }],
  ])("reads %s", (text, value) => expect(readJson(text).value).toEqual(value));

  it("knows the line of every member", () => {
    const { lineOf } = readJson('{\n "a": [\n  {"b": 1},\n  {"b":\n   2}\n ]\n}');
    expect(["", "a", "a[0].b", "a[1]", "a[1].b", "a[2]"].map(lineOf)).toEqual([1, 2, 3, 4, 5, undefined]);
  });

  it.each([
    ["hello", 0],
    ['{"a": nix}', 6],
    ['{"a":1,\n "a":2}', 9],
    // In UTF-8: two bytes for each of these letters, three for the mark of the byte order.
    ['{"äö": nix}', 9],
    ['\uFEFF{"a": nix}', 9],
  ])("says at which byte of the file what it refuses begins: %s", (text, offset) => {
    expect(refusalOf(text).place.offset).toBe(offset);
  });

  it.each([
    ['{"a":1,"a":2}', 1],
    ['{\n"a":1,\n"\\u0061":2}', 3],
    ['[{"x":{"k":1,\n"k":1}}]', 2],
  ])("refuses a key that is there twice: %s", (text, line) => {
    const refusal = refusalOf(text);
    expect(refusal.code).toBe("json/duplicate-key");
    expect(refusal.message).toMatch(/^line \d+: expected each key once, got "[ak]" twice$/);
    expect(refusal.place.line).toBe(line);
  });

  it.each(["__proto__", "\\u005f_proto__"])("refuses the key %s at every level", (key) => {
    for (const text of [`{"${key}":{"a":1}}`, `{"a":[{"b":{"${key}":1}}]}`]) {
      expect(refusalOf(text).code).toBe("json/key");
    }
    expect(Object.hasOwn(Object.prototype, "a")).toBe(false);
  });

  it("refuses more than 32 levels, and reads 32", () => {
    const nested = (levels: number) => "[".repeat(levels) + "]".repeat(levels);
    expect(readJson(nested(32)).value).toBeDefined();
    expect(refusalOf(nested(34)).code).toBe("json/too-deep");
    expect(refusalOf(nested(1_000_000)).code).toBe("json/too-deep");
    expect(refusalOf('{"a":'.repeat(500_000)).code).toBe("json/too-deep");
  });

  it("refuses more than 4 MiB", () => {
    expect(refusalOf(`"${"x".repeat(4 * 1024 * 1024)}"`).code).toBe("json/too-large");
  });

  it("refuses more than 100 000 values", () => {
    expect(readJson(`[${"1,".repeat(99_998)}1]`).value).toHaveLength(99_999);
    expect(refusalOf(`[${"1,".repeat(99_999)}1]`).code).toBe("json/too-large");
  });

  it.each([
    "",
    "   ",
    "{",
    "[1,]",
    '{"a":1,}',
    '{"a" 1}',
    "{a:1}",
    "{'a':1}",
    "01",
    "+1",
    "NaN",
    "1 2",
    '"a',
    '"\u0001"',
    '"\\x41"',
    "tru",
    "// comment\n{}",
    '{"a":1}}',
    "[1 2]",
    "]",
  ])("refuses %j with a line", (text) => {
    const refusal = refusalOf(text);
    expect(refusal.code).toBe("json/syntax");
    expect(refusal.message).toMatch(/^line \d+: expected .*, got /);
    expect(refusal.place.line).toBeGreaterThan(0);
  });

  it("agrees with JSON.parse on every cut and on single changed characters", () => {
    const text = '{"a":[1,{"b":"c\\n"},null],"d":-1.5e-3}';
    const variants = [...text].flatMap((_, i) => [
      text.slice(0, i),
      text.slice(0, i) + text.slice(i + 1),
      ...['"', "{", "]", "x", "0", "\\", ","].map((c) => text.slice(0, i) + c + text.slice(i + 1)),
    ]);
    for (const variant of variants) {
      let parsed: unknown;
      try {
        parsed = JSON.parse(variant);
      } catch {
        expect(refusalOf(variant).code, variant).toMatch(/^json\//);
        continue;
      }
      const keys = variant.match(/"[abd]"(?=:)/g) ?? [];
      if (new Set(keys).size === keys.length) expect(readJson(variant).value, variant).toEqual(parsed);
    }
  });
});
