import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { loadProfile, profileJsonSchema, readProfile } from "../../src/profile/load.js";
import { baseProfile, profileWith } from "./base-profile.js";

/** `path: message`, one for each thing that is wrong. */
function problemsOf(text: string): string[] {
  return readProfile(text).problems.map(({ path, message }) => `${path}: ${message}`);
}

const quantities = "{field, times, plus}, {field, cases}, {twoToThe, times}, {roundUp, to}, {sum}";
const ranges = "expected one of {region}, {field}, {start, length}, {start, end}";
const first = "regions.0.over.0";

describe("a profile that holds together", () => {
  it("is read, with its defaults", () => {
    const profile = loadProfile(JSON.stringify(baseProfile));
    expect(profile.memory).toEqual({ base: 0, size: 65536, holes: "unknown" });
    expect(profile.regions[1]?.over).toEqual([{ start: 32768, end: 65536 }]);
    expect(profile.fields[0]).toMatchObject({ required: true });
    expect(profile.checksums[0]).toMatchObject({ gaps: "refuse", stored: { order: "big" } });
    expect(profile).toMatchObject({ confirmed: true, volatile: [], raise: {} });
  });

  it.each([
    ["memory.size", ["32K", "64K"]],
    ["memory.erased", "0xFF"],
    ["$comment", "a remark"],
    ["regions.0.$comment", "a remark"],
    ["$schema", "https://example.org/profile.json"],
    [
      "checksums.0.algorithm",
      { width: 16, poly: "0x1021", init: "0xFFFF", refin: false, refout: false, xorout: "0x0" },
    ],
    ["checksums.0.over", [{ start: 0, length: { sum: [{ field: "size", times: 512 }, -4] } }]],
    ["checksums.0.over", [{ start: { field: "size", times: 16, plus: -2 }, end: { fromEnd: 4 } }]],
    ["checksums.0.over", [{ start: { after: { text: "HEAD" }, plus: 2 }, length: { twoToThe: "size", times: 1024 } }]],
    ["checksums.0.over", [{ start: 0, length: { field: "number", cases: { A: 4, B: "1K" }, otherwise: 8 } }]],
    ["checksums.0.over", [{ start: 0, length: { roundUp: { field: "size" }, to: 2048 } }]],
    ["checksums.0.when", { field: "mark", is: "00ff" }],
    ["checksums.0.repeat", { count: { field: "size" }, every: 128 }],
    ["fields.0.pattern", "^(a+)+$"],
    ["fields.2.equals", "AA BB"],
    ["raise", { "checksum/uncovered": "stop" }],
  ])("may have %s = %j", (path, value) => expect(problemsOf(profileWith(path, value))).toEqual([]));

  it("keeps numbers that are written as text as text", () => {
    const text = profileWith("fields.0.oneOf", ["0012", "9007199254740993", "1e3"]);
    expect(loadProfile(text).fields[0]).toMatchObject({ oneOf: ["0012", "9007199254740993", "1e3"] });
  });

  it("may use names that objects have of their own", () => {
    const sides = {
      left: "constructor",
      right: "toString",
      field: "number",
      values: { constructor: "P", toString: "S" },
    };
    expect(problemsOf(profileWith("pair.sides", sides))).toEqual([]);
    expect(problemsOf(profileWith("pair.sides", { ...sides, values: { toString: "P" } }))).toEqual([
      "pair.sides.values: expected one value for each of constructor, toString, got toString",
    ]);
  });
});

describe("a profile of another shape", () => {
  it.each<[string, unknown, ...string[]]>([
    ["profile", "assay.profile/2", 'profile: expected assay.profile/1, got "assay.profile/2"'],
    ["profile", undefined, "profile: expected assay.profile/1, got nothing"],
    ["id", "A b", 'id: expected lower-case letters, digits, dots and hyphens, got "A b"'],
    ["memory", undefined, "memory: expected an object, got nothing"],
    ["memory.size", "64 K", 'memory.size: expected a number of bytes, or a list of them, got "64 K"'],
    ["memory.size", -1, "memory.size: expected a number from 0 to 2**32, got -1"],
    ["memory.size", [1, "x"], 'memory.size[1]: expected a whole number, such as 4096, "0x1000" or "4K", got "x"'],
    ["memory.size", 2 ** 53, "memory.size: expected a number of bytes, or a list of them, got 9007199254740992"],
    ["memory.erased", 256, "memory.erased: expected a byte, 0 to 255, got 256"],
    ["regions", [], "regions: expected at least 1 item, got []"],
    ["regions.0.over", { start: 0 }, 'regions[0].over: expected a list, got {"start":0}'],
    [
      "regions.0.name",
      "a b",
      'regions[0].name: expected a name: a letter, then letters, digits or hyphens, 64 at most, got "a b"',
    ],
    [first, { start: 0, lenght: 5 }, `regions[0].over[0]: ${ranges}, got {"start":0,"lenght":5}`],
    [first, { start: 0, length: 5, end: 7 }, `regions[0].over[0]: ${ranges}, got {"start":0,"length":5,"end":7}`],
    [first, { region: 5 }, "regions[0].over[0].region: expected a text, got 5"],
    [`${first}.length`, "64X", `regions[0].over[0].length: expected a number or one of ${quantities}, got "64X"`],
    [
      `${first}.start`,
      { feld: "a" },
      `regions[0].over[0].start: expected an address or one of {fromEnd}, {region, plus}, {after, plus}, ${quantities}, got {"feld":"a"}`,
    ],
    [`${first}.start`, { after: {} }, "regions[0].over[0].start.after: expected either text or hex, got {}"],
    [
      `${first}.start`,
      { after: { hex: "4" } },
      'regions[0].over[0].start.after.hex: expected bytes as pairs of hexadecimal digits, got "4"',
    ],
    [
      `${first}.length`,
      { field: "size", times: "a" },
      'regions[0].over[0].length.times: expected a whole number, such as 4096, "0x1000" or "4K", got "a"',
    ],
    [
      `${first}.length`,
      { sum: [{ field: "size", times: 1.5 }] },
      'regions[0].over[0].length.sum[0].times: expected a whole number, such as 4096, "0x1000" or "4K", got 1.5',
    ],
    ["fields.0.type", "string", 'fields[0].type: expected one of text, digits, bcd, hex, unsigned, got "string"'],
    ["fields.0.type", undefined, "fields[0].type: expected one of text, digits, bcd, hex, unsigned, got nothing"],
    ["fields.0.order", "big", "fields[0].order: expected no such key, got it"],
    ["fields.1.order", "middle", 'fields[1].order: expected one of little, big, got "middle"'],
    ["fields.1.length", 9, "fields[1].length: expected at most 8, got 9"],
    ["fields.0.when", { field: "size", is: true }, "fields[0].when.is: expected a text or a whole number, got true"],
    [
      "checksums.0.algorithm",
      { width: 32 },
      'checksums[0].algorithm: expected the name of an algorithm, or the parameters of a CRC, got {"width":32}',
    ],
    [
      "checksums.0.algorithm",
      { width: 8, poly: "07", init: "0x0", refin: true, refout: true, xorout: "0x0" },
      'checksums[0].algorithm.poly: expected 0x and up to 16 hexadecimal digits, got "07"',
    ],
    [
      "checksums.0.stored.form",
      "inverted",
      'checksums[0].stored.form: expected one of value, complement, negated, value-and-complement, whole-comes-to-constant, got "inverted"',
    ],
    ["checksums.0.gaps", "fill", 'checksums[0].gaps: expected "refuse", "leave-out" or {fill}, got "fill"'],
    ["checksums.0.gaps", { fill: 300 }, "checksums[0].gaps.fill: expected a byte, 0 to 255, got 300"],
    ["checksums.0.reversedWords", 3, "checksums[0].reversedWords: expected 2, 4 or 8, got 3"],
    [
      "pair.rules.0.rule",
      "ignore",
      'pair.rules[0].rule: expected one of same, free, distinct, per-side, complement, exchanged, reordered, got "ignore"',
    ],
    ["pair.rules.0.why", undefined, "pair.rules[0].why: expected a text, got nothing"],
    ["raise", { "checksum/blank": "note" }, 'raise.checksum/blank: expected one of review, stop, got "note"'],
    ["extra", 1, "extra: expected no such key, got it"],
    ["constructor", 1, "constructor: expected no such key, got it"],
    ["regions.0.prototype", {}, "regions[0].prototype: expected no such key, got it"],
    ["checksums.0.stored.constructor", {}, "checksums[0].stored.constructor: expected no such key, got it"],
    ["confirmed", "yes", 'confirmed: expected true or false, got "yes"'],
  ])("%s = %j", (path, value, ...expected) => expect(problemsOf(profileWith(path, value))).toEqual(expected));

  it("is told with the line, all of it, by line", () => {
    const text = profileWith("regions.0.role", "code").replace('"type": "hex"', '"type": "hexadecimal"');
    const { problems } = readProfile(text);
    expect(problems.map(({ path }) => path)).toEqual(["regions[0].role", "fields[2].type"]);
    const lines = text.split("\n");
    for (const { line = 0, path } of problems) expect(lines[line - 1]).toContain(path.split(".").at(-1));
  });

  it("is told on the line of what it is missing from", () => {
    const { problems } = readProfile(profileWith("fields.2.length", undefined));
    const line = problems[0]?.line ?? 0;
    expect(
      JSON.stringify(baseProfile, null, 1)
        .split("\n")
        .slice(line - 1, line + 1)
        .join(""),
    ).toMatch(/{.*"name": "mark"/);
  });

  it("is refused with the first and the count of the others", () => {
    const refuse = () => loadProfile(profileWith("id", 5).replace('"memory"', '"memry"'));
    expect(refuse).toThrow(Refusal);
    expect(refuse).toThrow("memory: expected an object, got nothing (and 2 more)");
  });

  it.each(["[]", "5", "null", '"text"'])("is refused when it is %s", (text) => {
    expect(problemsOf(text)).toEqual([`: expected an object, got ${text}`]);
    expect(() => loadProfile(text)).toThrow(`document: expected an object, got ${text}`);
  });
});

describe("a profile whose parts do not fit one another", () => {
  const twoProgramRegions = "expected regions apart, got 0x00007C00..0x00008000 in regions[0].over[0] too";
  it.each<[string, unknown, ...string[]]>([
    ["memory.holes", "erased", 'memory.holes: expected memory.erased beside holes: "erased", got none'],
    ["memory", { size: 0 }, "memory.size: expected 1 to 268435456 bytes, got 0"],
    ["memory", { size: "4M", base: "0xFFF00000" }, "memory.size: expected the memory to end by 2**32, got 4298113024"],
    ["regions.1.over.0.start", "31K", `regions[1].over[0]: ${twoProgramRegions}`],
    [
      "regions.1.over.0.end",
      "65K",
      "regions[1].over[0]: expected a span inside the memory 0x00000000..0x00010000, got 0x00008000..0x00010400",
    ],
    [
      "regions.1.over.0.end",
      "32K",
      "regions[1].over[0]: expected a span of at least one byte below 2**32, got 0x00008000..0x00008000",
    ],
    [
      "regions.1.over.0",
      { field: "mark" },
      "regions[1].over[0]: expected a start with a length or an end, got a reference",
    ],
    [
      "fields.0.name",
      "size",
      "fields[1].name: expected each name once, got size again",
      "pair.sides.field: expected the name of a field, got number (there are size, mark)",
      "pair.rules[0].over[0].field: expected the name of a field, got number (there are size, mark)",
    ],
    ["fields.0.length", 0, "fields[0].length: expected at least 1 byte, got 0"],
    ["fields.0.length", "8K", "fields[0].length: expected at most 4096 bytes, got 8192"],
    ["fields.0.at", 32764, "fields[0].at: expected a field inside one region, got 0x00007FFC..0x00008004"],
    [
      "fields.0.at",
      { region: "boot" },
      "fields[0].at.region: expected the name of a region, got boot (there are program, data)",
    ],
    ["fields.0.at", { field: "mark" }, "fields[0].at.field: expected an unsigned field, got mark of type hex"],
    [
      "fields.0.at",
      { field: "nowhere" },
      "fields[0].at.field: expected the name of a field, got nowhere (there are number, size, mark)",
    ],
    ["fields.1.at", { field: "size" }, "fields[1]: expected a place that does not depend on itself, got a circle"],
    ["fields.1.order", undefined, "fields[1].order: expected little or big, got nothing"],
    ["fields.1.bits", { from: 12, count: 5 }, "fields[1].bits: expected bits inside 16, got up to 17"],
    ["fields.1.equals", 65536, "fields[1].equals: expected a value below 65536, got 65536"],
    ["fields.2.equals", "aabbcc", "fields[2].equals: expected 2 bytes, got 3"],
    [
      "fields.0.checkDigit",
      "49-cfr-565",
      "fields[0].length: expected 17 bytes for a number with this check digit, got 8",
    ],
    [
      "fields.0.pattern",
      "a(?=b)",
      "fields[0].pattern: expected a usable pattern, got: look-around, which needs more than one pass over the text",
    ],
    [
      "fields.0.pattern",
      "(?<!a)b",
      "fields[0].pattern: expected a usable pattern, got: look-around, which needs more than one pass over the text",
    ],
    [
      "fields.0.pattern",
      "(a)\\1",
      "fields[0].pattern: expected a usable pattern, got: a back-reference, which needs more than one pass",
    ],
    ["fields.0.pattern", "(a", "fields[0].pattern: expected a usable pattern, got: missing closing ): `(a`"],
    [
      "fields.2.when",
      { field: "size", is: "0x1" },
      "fields[2].when.is: expected a decimal number, as a report shows size, got 0x1",
    ],
    [
      "fields.1.when",
      { field: "mark", is: "AABB" },
      "fields[1].when.is: expected lower-case hexadecimal digits, two a byte, as a report shows mark, got AABB",
    ],
    [
      "checksums.0.over.0.region",
      "programm",
      "checksums[0].over[0].region: expected the name of a region, got programm (there are program, data)",
    ],
    [
      "checksums.0.inside",
      "leave-out",
      "checksums[0].inside: expected nothing beside whole-comes-to-constant, got a way to leave it out",
    ],
    [
      "checksums.0.stored.at",
      "40K",
      "checksums[0].stored.at: expected a place inside what is covered (0x00000000..0x00008000), once, got 0x0000A000..0x0000A004",
    ],
    [
      "checksums.0.stored.form",
      "value",
      'checksums[0].stored.at: expected a place outside what is covered, or inside: "leave-out", {"fill": ...} or the form whole-comes-to-constant; got 0x00000064..0x00000068',
    ],
    ["checksums.0.stored.bytes", 3, "checksums[0].stored.bytes: expected at least 4 bytes, got 3"],
    [
      "checksums.0.stored.constant",
      "0x100000000",
      "checksums[0].stored.constant: expected a value of 32 bits, got 0x100000000",
    ],
    [
      "checksums.0.stored",
      { at: "40K", constant: "0x1" },
      "checksums[0].stored.constant: expected the form whole-comes-to-constant beside it, got value",
    ],
    ["pair.sides.right", "port", "pair.sides.right: expected another name than port, got the same"],
    ["pair.sides.values", undefined, "pair.sides: expected field and values together, got field alone"],
    ["pair.sides.values", { port: "P" }, "pair.sides.values: expected one value for each of port, starboard, got port"],
    [
      "pair.sides.values",
      { port: "P", starboard: "P" },
      "pair.sides.values: expected two different values, got P twice",
    ],
    [
      "pair.sides.field",
      "size",
      "pair.sides.values.port: expected a decimal number, as a report shows size, got P",
      "pair.sides.values.starboard: expected a decimal number, as a report shows size, got S",
    ],
    [
      "pair.rules.0",
      {
        name: "own",
        rule: "per-side",
        why: "-",
        over: [{ field: "mark" }],
        values: { port: "00 01", starboard: "00" },
      },
      "pair.rules[0].values.starboard: expected 2 bytes, got 1",
    ],
    [
      "pair.rules.0",
      { name: "own", rule: "exchanged", why: "-", over: [{ field: "mark" }], with: [{ field: "number" }] },
      "pair.rules[0].with: expected 2 bytes as in over, got 8",
    ],
    [
      "pair.rules.0",
      { name: "own", rule: "reordered", why: "-", over: [{ field: "number" }], element: 2, order: [0, 1, 1, 4] },
      "pair.rules[0].order: expected each of 0 to 3 once, got 0, 1, 1, 4",
    ],
    [
      "pair.rules.0",
      { name: "own", rule: "reordered", why: "-", over: [{ field: "number" }], element: 4, order: [2, 1, 0] },
      "pair.rules[0].order: expected 8 bytes in all, got 3 of 4",
    ],
    [
      "pair.rules.0",
      { name: "own", rule: "distinct", why: "-", over: [{ region: "data" }, { start: "60K", end: "64K" }] },
      "pair.rules[0].over[1]: expected places that do not overlap, got 0x00008000..0x00010000 and 0x0000F000..0x00010000, of over[0]",
    ],
    [
      "pair.rules.0",
      {
        name: "own",
        rule: "exchanged",
        why: "-",
        over: [{ start: 0, length: 4 }],
        with: [
          { start: 10, length: 2 },
          { start: 10, length: 2 },
        ],
      },
      "pair.rules[0].with[1]: expected places that do not overlap, got 0x0000000A..0x0000000C and 0x0000000A..0x0000000C, of with[0]",
    ],
    [
      "volatile",
      [{ over: [{ region: "log" }], why: "-" }],
      "volatile[0].over[0].region: expected the name of a region, got log (there are program, data)",
    ],
    ["raise", { "pair/nothing": "stop" }, "raise.pair/nothing: expected the code of a finding, got pair/nothing"],
  ])("%s = %j", (path, value, ...expected) => expect(problemsOf(profileWith(path, value))).toEqual(expected));

  it("refuses rules of a pairing that read the memory more often than it costs to compare it", () => {
    const whole = { ...baseProfile, memory: { size: "64M" } };
    const rules = (count: number, rule: string, over: object) =>
      problemsOf(
        profileWith(
          "pair.rules",
          Array.from({ length: count }, (_, i) => ({ name: `own-${i}`, rule, why: "-", over: [over] })),
          whole,
        ),
      );
    const [all, computed] = [
      { start: 0, length: "64M" },
      { start: 0, end: { fromEnd: 4 } },
    ];
    for (const over of [all, computed]) {
      expect(rules(20, "distinct", over)).toEqual([]);
      expect(rules(200, "free", over)).toEqual([]);
      expect(rules(21, "distinct", over)).toEqual([
        "pair.rules: expected rules over at most 1342177280 bytes in all, got 1409286144",
      ]);
    }
    expect(rules(200, "distinct", { start: { fromEnd: 8 }, length: 8 })).toEqual([]);
  });

  it("names an algorithm that does not exist", () => {
    expect(problemsOf(profileWith("checksums.0.algorithm", "CRC-99/NOWHERE"))).toEqual([
      expect.stringMatching(/^checksums\[0\]\.algorithm: expected .*CRC-99\/NOWHERE/),
    ]);
  });

  it("names a checksum that takes the name of a repeat", () => {
    const [sum] = baseProfile.checksums;
    const checksums = [
      { ...sum, repeat: { count: 2, every: 4 } },
      { ...sum, name: "sum-2" },
      { ...sum, name: "sum-x" },
    ];
    expect(problemsOf(profileWith("checksums", checksums))).toEqual([
      "checksums[1].name: expected another name than those of the repeats of sum, got sum-2",
    ]);
  });

  it("finds circles through several fields and regions", () => {
    const regions = [
      { name: "program", role: "program", over: [{ start: 0, length: "32K" }] },
      { name: "data", role: "calibration", over: [{ start: "32K", length: { field: "size" } }] },
    ];
    const fields = [
      { name: "number", type: "text", at: 16, length: { field: "size" } },
      { name: "size", type: "unsigned", at: { region: "data" }, length: 2, order: "big" },
      { name: "mark", type: "hex", at: 40, length: 2 },
    ];
    expect(problemsOf(JSON.stringify({ ...baseProfile, regions, fields }))).toEqual([
      "regions[1]: expected a place that does not depend on itself, got a circle",
    ]);
  });

  it("finds overlaps behind a long region too", () => {
    const region = (name: string, start: number, length: number) => ({
      name,
      role: "spare",
      over: [{ start, length }],
    });
    const regions = [region("program", 0, 1000), region("data", 10, 10), region("c", 500, 10), region("d", 1000, 10)];
    expect(problemsOf(profileWith("regions", regions)).filter((problem) => problem.includes("apart"))).toEqual([
      "regions[1].over[0]: expected regions apart, got 0x0000000A..0x00000014 in regions[0].over[0] too",
      "regions[2].over[0]: expected regions apart, got 0x000001F4..0x000001FE in regions[0].over[0] too",
    ]);
  });

  it("may have regions that overlap when one of them depends on a condition", () => {
    const [program, data] = baseProfile.regions;
    const other = { ...program, name: "other", when: { field: "size", is: 1 } };
    expect(problemsOf(profileWith("regions", [program, data, other]))).toEqual([]);
  });
});

describe("the published schema", () => {
  const text = JSON.stringify(profileJsonSchema());

  it("is draft 2020-12, and every reference in it leads somewhere", () => {
    const { $schema, $defs } = profileJsonSchema() as { $schema: string; $defs: object };
    expect($schema).toBe("https://json-schema.org/draft/2020-12/schema");
    const references = [...text.matchAll(/"\$ref":"([^"]*)"/g)].map((match) => match[1] as string);
    expect(references.length).toBeGreaterThan(10);
    for (const reference of references) {
      if (reference !== "#")
        expect(Object.keys($defs)).toContain(reference.replace("#/$defs/", "").replaceAll("~1", "/"));
    }
  });

  it("allows no key that it does not name", () => {
    const objects = text.match(/"properties":/g)?.length ?? 0;
    expect(text.match(/"additionalProperties":false/g)).toHaveLength(objects);
  });
});
