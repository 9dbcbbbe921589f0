import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseReadable, readableOf } from "../../src/fingerprint/readable.js";
import { digestCase, seed } from "./arbitraries.js";
import { plainReading, vectorsOf } from "./vectors.js";

const alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const digests = fc.sample(digestCase, { seed, numRuns: 60 }).map(({ digest }) => digest);
const bodies = digests.map((digest) => readableOf(digest).replaceAll("-", ""));

describe("vectors, made by the second implementation", () => {
  it.each(vectorsOf("readable").map((vector) => [vector.id, vector] as const))("%s", (_id, { input, expected }) => {
    expect(readableOf(input.digest)).toBe(expected.readable);
  });
  it.each(vectorsOf("typed").map((vector) => [vector.id, vector] as const))("typed %s", (_id, { input, expected }) => {
    expect(plainReading(input.text)).toEqual(expected);
  });
});

it("tells where the first wrong character is", () => {
  expect(parseReadable("XSRB-VTu2")).toEqual({ kind: "damaged", damage: "character", character: "u", offset: 7 });
});

it.each(["", "ab", "0".repeat(24), `${"0".repeat(24)}g`])("makes nothing of the digest %j", (digest) => {
  expect(() => readableOf(digest)).toThrow(/^digest: expected at least 25 hex digits/);
});

it(`gives back the beginning of the digest (seed ${seed})`, () => {
  for (const digest of digests) {
    expect(parseReadable(readableOf(digest))).toEqual({
      kind: "readable",
      text: readableOf(digest),
      digits: digest.slice(0, 25),
    });
  }
});

/** The share of the changed texts that the check character tells apart from what was written. */
function detected(changes: (text: string) => Iterable<string>): { share: number; tried: number } {
  let found = 0;
  let tried = 0;
  for (const body of bodies) {
    for (const changed of changes(body)) {
      if (changed === body) continue;
      tried++;
      const reading = parseReadable(changed);
      if (reading.kind === "damaged" && reading.damage === "check") found++;
    }
  }
  return { share: found / tried, tried };
}

const replaced = (text: string, at: number, by: string) => text.slice(0, at) + by + text.slice(at + by.length);

function* substitutions(text: string) {
  for (let at = 0; at < text.length; at++) for (const other of alphabet) yield replaced(text, at, other);
}
/** Two characters exchanged that stand `apart` from each other. */
function* exchanges(text: string, apart: number) {
  for (let at = 0; at + apart < text.length; at++) {
    const middle = text.slice(at + 1, at + apart);
    yield replaced(text, at, `${text[at + apart]}${middle}${text[at]}`);
  }
}
/** The same character twice, `apart` from each other, heard as another one twice. */
function* twins(text: string, apart: number) {
  for (let at = 0; at + apart < text.length; at++) {
    if (text[at] !== text[at + apart]) continue;
    const middle = text.slice(at + 1, at + apart);
    for (const other of alphabet) yield replaced(text, at, other + middle + other);
  }
}

describe(`the check character, over ${bodies.length} texts (seed ${seed})`, () => {
  it("tells every single wrong character", () => {
    expect(detected(substitutions)).toEqual({ share: 1, tried: bodies.length * 21 * 31 });
  });
  it("tells every exchange of two neighbours", () => {
    const { share, tried } = detected((text) => exchanges(text, 1));
    expect(share).toBe(1);
    expect(tried).toBeGreaterThan(bodies.length * 15);
  });
  it("tells every exchange across one character", () => {
    expect(detected((text) => exchanges(text, 2)).share).toBe(1);
  });
  it("tells every pair of twins heard as other twins", () => {
    expect(detected((text) => twins(text, 1)).share).toBe(1);
    expect(detected((text) => twins(text, 2)).share).toBe(1);
  });
  it("tells nearly all of the rest: one text in 32 passes by chance", () => {
    const texts = fc.sample(digestCase, { seed: seed + 1, numRuns: 2000 });
    const passed = texts.filter(({ digest }, i) => {
      const body = readableOf(digest).replaceAll("-", "").slice(0, 20);
      return parseReadable(body + alphabet[i % 32]).kind === "readable";
    });
    // 62.5 expected of 2000, standard deviation 7.8; the bounds lie five and more of them away.
    expect(passed.length).toBeGreaterThan(20);
    expect(passed.length).toBeLessThan(110);
  });
});

describe("the operation of the check character, over all states", () => {
  // A text of one chosen character after `k` that bring the state about shows the operation itself: with a prefix
  // of zeros the state is 0, and one character before the last two brings it to each of the 32 values.
  const check = (values: readonly number[]) => {
    const bits = [...Array(20 - values.length).fill(0), ...values].map((value) => value.toString(2).padStart(5, "0"));
    const digits = BigInt(`0b${bits.join("")}`)
      .toString(16)
      .padStart(25, "0");
    return readableOf(digits).at(-1);
  };
  const all = Array.from({ length: 32 }, (_, value) => value);

  it("reaches every state, and no two values lead from a state to the same one", () => {
    for (const first of all) expect(new Set(all.map((second) => check([first, second]))).size).toBe(32);
    for (const second of all) expect(new Set(all.map((first) => check([first, second]))).size).toBe(32);
  });
  it("is totally anti-symmetric: two values lead to another state when they are exchanged", () => {
    for (const state of all) {
      for (const x of all) {
        for (const y of all.slice(0, x)) expect(check([state, x, y])).not.toBe(check([state, y, x]));
      }
    }
  });
});
