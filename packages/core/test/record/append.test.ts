import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { appendRecord, checkRecordable } from "../../src/record/append.js";
import { canonicalJson } from "../../src/record/canonical.js";
import { readRecord } from "../../src/record/read.js";
import type { NewRecordEntry, PlainValue, RecordEntry } from "../../src/record/schema.js";
import { edited, recordOf, resealed, run } from "./records.js";

function refusalOf(work: () => unknown): Refusal {
  try {
    work();
  } catch (error) {
    if (error instanceof Refusal) return error;
    throw error;
  }
  throw new Error("expected a refusal, got none");
}

describe("appending", () => {
  it("begins a record, and goes on with it", () => {
    const first = appendRecord(undefined, run(1));
    const second = appendRecord(first.text, run(2));
    const { record } = readRecord(second.text);
    expect(record.entries.map(({ number, previous }) => ({ number, previous }))).toEqual([
      { number: 1, previous: null },
      { number: 2, previous: first.digest },
    ]);
    expect(record.last).toEqual({ number: 2, digest: second.digest });
    expect(second.number).toBe(2);
  });

  it("leaves every line of before as it was", () => {
    const before = recordOf(3).split("\n");
    const after = appendRecord(recordOf(3), run(4)).text.split("\n");
    expect(after.slice(0, 3)).toEqual(before.slice(0, 3));
    expect(after[3]).toBe(`${before[3]},`);
    expect(after).toHaveLength(before.length + 1);
  });

  it("keeps any plan, to its last character", () => {
    const plan: PlainValue = {
      regions: [{ name: "boot", from: "donor", spans: [[0, 16384]], why: "its own \u{1f512}" }],
      "\u{10000}": 1,
      "\uffff": [true, false, null, -1, 0, Number.MAX_SAFE_INTEGER, ""],
    };
    const { text } = appendRecord(undefined, run(1, { plan }));
    expect(readRecord(text).record.entries[0]?.plan).toEqual(plan);
  });

  it.each([
    ["a changed entry", (text: string) => text.replace('"verdict":"stop"', '"verdict":"clear"'), 2],
    ["a missing end", (text: string) => edited(text, (r) => void r.entries.pop()), 3],
    [
      "a forged entry",
      (text: string) =>
        edited(text, (r) => void r.entries.splice(1, 1, resealed({ ...(r.entries[1] as RecordEntry), operator: "B" }))),
      3,
    ],
    ["another layout", (text: string) => JSON.stringify(JSON.parse(text)), undefined],
  ])("does not go on from a record with %s", (_what, damage, line) => {
    const { code, place, message } = refusalOf(() => appendRecord(damage(recordOf(3)), run(4)));
    expect(code).toBe("record/altered");
    expect(message).toMatch(
      /^expected a record that holds, got one in which .+ \(record\/[a-z-]+\); nothing was added$/,
    );
    expect(place.line).toBe(line);
  });

  it.each<[string, Partial<Record<keyof NewRecordEntry, unknown>>, string]>([
    ["a time that is none", { time: "yesterday" }, "record/entry-invalid"],
    ["a time of another zone", { time: "2026-05-01T08:00:00+02:00" }, "record/entry-invalid"],
    ["an operator without a name", { operator: "" }, "record/entry-invalid"],
    ["a note without end", { note: "x".repeat(4001) }, "record/entry-invalid"],
    ["a digest that is none", { inputs: [{ role: "a", name: "b", bytes: 1, sha256: "00" }] }, "record/entry-invalid"],
    ["a member that no entry has", { serial: "7" } as never, "record/entry-invalid"],
    ["a fraction in the plan", { plan: { share: 0.5 } }, "record/value"],
    ["half a character in the plan", { plan: "\ud800" }, "record/value"],
    ["a function in the plan", { plan: { call: () => 1 } }, "record/value"],
    ["a plan without end", { plan: JSON.parse(`${"[".repeat(2000)}1${"]".repeat(2000)}`) }, "record/value"],
    ["a plan with the key of all objects", { plan: JSON.parse('{"__proto__":1}') }, "record/value"],
  ])("refuses %s", (_what, more, code) => {
    expect(refusalOf(() => appendRecord(undefined, { ...run(1), ...more } as NewRecordEntry)).code).toBe(code);
  });

  it("does not write a record that it would not read again", () => {
    const plan = Array.from({ length: 17 }, () => "x".repeat(2 ** 20));
    expect(refusalOf(() => appendRecord(undefined, run(1, { plan }))).code).toBe("record/full");
  });
});

describe("looking whether a run can be entered", () => {
  const time = "2026-05-01T08:00:00Z";
  it("passes what can be, in a new record and in one that holds", () => {
    expect(() => checkRecordable(undefined, { time, operator: "Jörg" })).not.toThrow();
    expect(() => checkRecordable(recordOf(3), { time, note: "before the write" })).not.toThrow();
  });

  it.each<[string, string | undefined, Parameters<typeof checkRecordable>[1], string]>([
    ["a time that is none", undefined, { time: "yesterday" }, "record/entry-invalid"],
    ["an operator without a name", undefined, { time, operator: "" }, "record/entry-invalid"],
    ["a note without end", recordOf(1), { time, note: "x".repeat(4001) }, "record/entry-invalid"],
    ["a text that is no record", "{}", { time }, "record/invalid"],
    ["a record that does not hold", recordOf(2).replace("port-1.bin", "port-7.bin"), { time }, "record/altered"],
  ])("refuses %s as adding to it would", (_what, text, facts, code) => {
    expect(refusalOf(() => checkRecordable(text, facts)).code).toBe(code);
    const entry = { ...run(4), operator: null, note: null, ...facts } as NewRecordEntry;
    expect(refusalOf(() => appendRecord(text, entry)).code).toBe(code);
  });

  it("refuses a record without room for the shortest entry", () => {
    const bare = { operator: null, note: null, inputs: [], findings: [] };
    const empty = appendRecord(undefined, run(1, { ...bare, plan: "" })).text.length;
    const filled = (room: number) =>
      appendRecord(undefined, run(1, { ...bare, plan: "x".repeat(16 * 2 ** 20 - empty - room) })).text;
    expect(refusalOf(() => checkRecordable(filled(1000), { time })).code).toBe("record/full");
    const roomy = filled(1024);
    expect(() => checkRecordable(roomy, { time })).not.toThrow();
    expect(() => appendRecord(roomy, run(2, bare))).not.toThrow();
  });
});

describe("reading what is hostile", () => {
  const one = recordOf(1);
  it.each([
    ["nothing", ""],
    ["no JSON", "record"],
    ["another document", '{"schema":"assay.report/1"}'],
    ["a record without entries", '{"schema":"assay.record/1","entries":[],"last":{"digest":"","number":0}}'],
    ["a key twice", one.replace('"number":1', '"number":1,"number":1')],
    ["a key of all objects", one.replace('"plan":null', '"plan":{"__proto__":{"x":1}}')],
    ["an unknown member", one.replace('"number":1', '"number":1,"extra":true')],
    ["too deep a plan", one.replace('"plan":null', `"plan":${"[".repeat(1e5)}${"]".repeat(1e5)}`)],
    ["a deep plan", one.replace('"plan":null', `"plan":${"[".repeat(28)}${"]".repeat(28)}`)],
    ["a fraction", one.replace('"plan":null', '"plan":0.5')],
    ["a number beyond 53 bits", one.replace('"plan":null', '"plan":9007199254740993')],
    ["half a character", one.replace('"plan":null', '"plan":"\\ud800"')],
    ["a number of an entry that is none", one.replace('"number":1', '"number":0')],
    ["too many values", one.replace('"plan":null', `"plan":[${"1,".repeat(1_000_001)}1]`)],
    ["too much text", one + " ".repeat(2 ** 24)],
  ])("%s", (_what, text) => {
    const { code, message } = refusalOf(() => readRecord(text));
    expect(code).toMatch(/^(json|record)\//);
    expect(message).toContain("expected");
  });
});

describe("the canonical form", () => {
  // The example of RFC 8785, 3.2.3: keys sorted by UTF-16 code units; from memory.
  it("sorts keys as RFC 8785 does", () => {
    const value = {
      "\u20ac": "Euro Sign",
      "\r": "Carriage Return",
      "\ufb33": "Hebrew Letter Dalet With Dagesh",
      "1": "One",
      "\u{1f600}": "Emoji: Grinning Face",
      "\u0080": "Control",
      "\u00f6": "Latin Small Letter O With Diaeresis",
    };
    const keys = [...canonicalJson(value).matchAll(/:"([^"]*)"/g)].map(([, said]) => said);
    expect(keys).toEqual([
      "Carriage Return",
      "One",
      "Control",
      "Latin Small Letter O With Diaeresis",
      "Euro Sign",
      "Emoji: Grinning Face",
      "Hebrew Letter Dalet With Dagesh",
    ]);
  });

  it("writes strings with the fewest escapes", () => {
    expect(canonicalJson('\u20ac$\u000f\nA\'B"\\\\"/\u007f')).toBe('"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/\u007f"');
  });

  it("leaves out what is undefined, as JSON does, and has one zero", () => {
    expect(canonicalJson({ b: undefined, a: -0 })).toBe('{"a":0}');
  });
});
