import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readRecord } from "../../src/record/read.js";
import type { RecordDocument, RecordEntry } from "../../src/record/schema.js";
import { verifyRecord } from "../../src/record/verify.js";
import { edited, recordOf, resealed, run } from "./records.js";

const seed = 20260501;
const five = recordOf(5);
const { entries } = readRecord(five).record;
const digestOf = (number: number) => (entries[number - 1] as RecordEntry).digest;
const entry = (number: number) => entries[number - 1] as RecordEntry;

/** Verdict, and each finding that is no note with its line. */
function problems(text: string, noted?: string) {
  const { verdict, findings } = verifyRecord(readRecord(text), noted);
  const told = findings.filter(({ severity }) => severity !== "note");
  return { verdict, told: told.map(({ code, where }) => `${code} ${where[0]?.line ?? ""}`.trim()) };
}

const order = (numbers: readonly number[]) => (record: RecordDocument) => {
  record.entries = numbers.map((number) => record.entries[number - 1] as RecordEntry);
};

describe("a record as it was written", () => {
  it("is clear, and says what it cannot show", () => {
    for (const count of [1, 2, 5]) {
      const { verdict, findings } = verifyRecord(readRecord(recordOf(count)));
      expect(verdict).toBe("clear");
      expect(findings.map(({ code }) => code)).toEqual(["record/end-unproven"]);
    }
  });

  it("is clear against the digest of its last entry, without a word", () => {
    expect(verifyRecord(readRecord(five), digestOf(5))).toMatchObject({ verdict: "clear", findings: [] });
    expect(verifyRecord(readRecord(five), digestOf(5).toUpperCase()).verdict).toBe("clear");
  });

  it("is clear against that of an earlier one, and counts what was added", () => {
    const { verdict, findings } = verifyRecord(readRecord(five), digestOf(2));
    expect(verdict).toBe("clear");
    expect(findings).toMatchObject([{ code: "record/added-since-noted", where: [{ line: 3 }] }]);
    expect(findings[0]?.detail).toContain("3 entries follow");
  });

  it("stops against any other digest, and refuses what is none", () => {
    expect(problems(five, "0".repeat(64))).toEqual({ verdict: "stop", told: ["record/noted-digest-absent"] });
    for (const noted of ["", "abc", `${digestOf(1)}0`, "g".repeat(64)]) {
      expect(() => verifyRecord(readRecord(five), noted)).toThrow(/expected a digest/);
    }
  });
});

describe("what was done to it, and where", () => {
  const cases: readonly [what: string, edit: (record: RecordDocument) => void, told: readonly string[]][] = [
    [
      "a verdict changed",
      ({ entries: [, , third] }) => Object.assign(third as object, { verdict: "clear" }),
      ["record/entry-changed 4"],
    ],
    [
      "a finding removed from the last",
      (r) => Object.assign(r.entries[4] as object, { findings: [] }),
      ["record/entry-changed 6"],
    ],
    [
      "a time changed in the first",
      (r) => Object.assign(r.entries[0] as object, { time: "2020-01-01T00:00:00Z" }),
      ["record/entry-changed 2"],
    ],
    [
      "a digest changed",
      (r) => Object.assign(r.entries[2] as object, { digest: "0".repeat(64) }),
      ["record/entry-changed 4"],
    ],
    [
      "a previous digest changed",
      (r) => Object.assign(r.entries[2] as object, { previous: "0".repeat(64) }),
      ["record/entry-changed 4"],
    ],
    ["a number changed", (r) => Object.assign(r.entries[2] as object, { number: 7 }), ["record/entry-changed 4"]],
    [
      "an entry replaced, its digest made anew",
      (r) => r.entries.splice(2, 1, resealed({ ...entry(3), verdict: "clear" })),
      ["record/entry-replaced 4"],
    ],
    [
      "the last replaced so",
      (r) => r.entries.splice(4, 1, resealed({ ...entry(5), verdict: "clear" })),
      ["record/end-differs 6"],
    ],
    ["the first taken out", order([2, 3, 4, 5]), ["record/entries-missing 2"]],
    ["one in the middle taken out", order([1, 2, 4, 5]), ["record/entries-missing 3"]],
    ["two taken out", order([1, 4, 5]), ["record/entries-missing 2"]],
    ["the last taken out", order([1, 2, 3, 4]), ["record/entries-missing 5"]],
    ["all but the first taken out", order([1]), ["record/entries-missing 2"]],
    ["every second one taken out", order([1, 3, 5]), ["record/entries-missing 2", "record/entries-missing 3"]],
    ["two neighbours exchanged", order([1, 3, 2, 4, 5]), ["record/entry-moved 3"]],
    ["the last put first", order([5, 1, 2, 3, 4]), ["record/entry-moved 2"]],
    ["one repeated", order([1, 2, 2, 3, 4, 5]), ["record/entry-inserted 4"]],
    ["the last repeated", order([1, 2, 3, 4, 5, 5]), ["record/entry-inserted 7"]],
    [
      "one put in that goes on from the one before it",
      (r) => r.entries.splice(3, 0, resealed({ ...entry(4), verdict: "clear" })),
      ["record/entry-inserted 5"],
    ],
    [
      "one put in from another record, beyond the end",
      (r) => r.entries.splice(3, 0, resealed({ ...entry(4), number: 99, previous: "1".repeat(64) })),
      ["record/entry-inserted 5"],
    ],
    [
      "one added that goes on from the last, the closing line left",
      (r) => r.entries.push(resealed({ ...entry(5), number: 6, previous: digestOf(5) })),
      ["record/end-differs 7"],
    ],
    ["the closing digest changed", (r) => Object.assign(r.last, { digest: "0".repeat(64) }), ["record/end-differs 6"]],
    ["the closing number raised", (r) => Object.assign(r.last, { number: 9 }), ["record/entries-missing 6"]],
    ["the closing number lowered", (r) => Object.assign(r.last, { number: 4 }), ["record/end-differs 6"]],
    [
      "the first made to follow something",
      (r) => r.entries.splice(0, 1, resealed({ ...entry(1), previous: "0".repeat(64) })),
      ["record/entry-replaced 2", "record/entry-replaced 2"],
    ],
  ];
  it.each(cases)("%s", (_what, edit, told) => {
    const text = edited(five, edit);
    expect(problems(text)).toEqual({ verdict: "stop", told });
  });

  it("names the entries that are missing", () => {
    const { findings } = verifyRecord(readRecord(edited(five, order([1, 2]))));
    expect(findings[0]?.detail).toBe("3 entries (3 to 5) are missing at the end");
  });

  it("an end that was cut off and closed anew shows against a noted digest, and only so", () => {
    const cut = edited(five, (record) => {
      record.entries = record.entries.slice(0, 3);
      record.last = { number: 3, digest: digestOf(3) };
    });
    expect(problems(cut).verdict).toBe("clear");
    expect(problems(cut, digestOf(5))).toEqual({ verdict: "stop", told: ["record/noted-digest-absent"] });
    expect(problems(cut, digestOf(3)).verdict).toBe("clear");
  });

  it("a chain that was written anew from the second entry on shows against a noted digest, and only so", () => {
    const forged = edited(five, (record) => {
      let previous = digestOf(1);
      record.entries = record.entries.map((one, i) => {
        if (i === 0) return one;
        const made = resealed({ ...one, verdict: "clear", previous });
        previous = made.digest;
        return made;
      });
      record.last = { number: 5, digest: previous };
    });
    expect(problems(forged).verdict).toBe("clear");
    for (const number of [2, 3, 4, 5]) expect(problems(forged, digestOf(number)).verdict).toBe("stop");
    expect(problems(forged, digestOf(1)).verdict).toBe("clear"); // that entry is as it was
  });

  it("another layout of the same entries is for review", () => {
    const others = [
      JSON.stringify(JSON.parse(five), null, 2),
      JSON.stringify(JSON.parse(five)),
      five.replaceAll("\n", "\r\n"),
      `\uFEFF${five}`,
      five.trimEnd(),
      five.replace("pair", "p\\u0061ir"),
      five.replace(/"number":1,/, '"number":1.0,'),
    ];
    for (const text of others)
      expect(problems(text)).toEqual({ verdict: "review", told: ["record/written-otherwise"] });
  });

  it("a change that was made to a newly laid out file still shows", () => {
    const text = JSON.stringify(JSON.parse(five), null, 2).replace('"bytes": 262147', '"bytes": 262148');
    expect(problems(text).verdict).toBe("stop");
  });
});

describe("every single change", () => {
  it("of one bit anywhere in the text does not come out clear", () => {
    const text = recordOf(1);
    const bytes = Buffer.from(text, "utf8");
    const verdicts: Record<string, number> = {};
    for (let at = 0; at < bytes.length; at++) {
      for (let bit = 0; bit < 8; bit++) {
        const damaged = Buffer.from(bytes);
        damaged[at] = (damaged[at] as number) ^ (1 << bit);
        let verdict = "unreadable";
        try {
          const read = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(damaged);
          verdict = verifyRecord(readRecord(read)).verdict;
        } catch (error) {
          expect(["Refusal", "TypeError"]).toContain((error as Error).name);
        }
        verdicts[verdict] = (verdicts[verdict] ?? 0) + 1;
      }
    }
    expect(verdicts.clear).toBe(undefined);
    expect(Object.values(verdicts).reduce((sum, count) => sum + count, 0)).toBe(8 * bytes.length);
    expect(verdicts.stop).toBeGreaterThan(1000);
  });

  it(`cut anywhere is no record any more`, () => {
    for (let length = 0; length < five.length - 1; length += 7) {
      expect(() => readRecord(five.slice(0, length))).toThrow();
    }
  });

  const eight = recordOf(8);
  it(`of the order, and every removal and repetition, stops (seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 8 }), { minLength: 1, maxLength: 12 }), (numbers) => {
        fc.pre(numbers.join() !== "1,2,3,4,5,6,7,8");
        expect(problems(edited(eight, order(numbers))).verdict).toBe("stop");
      }),
      { seed, numRuns: 400 },
    );
  });

  it(`of a shuffled or thinned record names what is missing, put in and moved, and nothing else (seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.subarray([1, 2, 3, 4, 5, 6, 7, 8], { minLength: 1, maxLength: 7 }), (numbers) => {
        const { findings } = verifyRecord(readRecord(edited(eight, order(numbers))));
        const codes = new Set(findings.filter(({ severity }) => severity === "stop").map(({ code }) => code));
        expect([...codes]).toEqual(["record/entries-missing"]);
      }),
      { seed, numRuns: 200 },
    );
  });
});

it("holds a record of thousands of runs, and finds one change in it", () => {
  const count = 3000;
  let previous: string | null = null;
  const long: RecordEntry[] = [];
  for (let number = 1; number <= count; number++) {
    const made = resealed({ ...run(number), number, previous, digest: "" });
    previous = made.digest;
    long.push(made);
  }
  const text = edited(five, (record) => {
    record.entries = long;
    record.last = { number: count, digest: previous as string };
  });
  expect(problems(text).verdict).toBe("clear");
  const changed = text.replace('"bytes":263644', '"bytes":263645');
  expect(problems(changed)).toEqual({ verdict: "stop", told: ["record/entry-changed 1501"] });
});
