import { describe, expect, it } from "vitest";
import { matchesWhole, patternProblem } from "../../src/profile/pattern.js";

describe("patterns", () => {
  it.each([
    ["^(a+)+$", "a".repeat(4096), true],
    ["^(a+)+$", `${"a".repeat(4096)}b`, false],
    ["(a|a)*b", "a".repeat(4096), false],
    ["(.*)(.*)(.*)x", "a".repeat(4096), false],
    ["[A-Z]{2}[0-9]{4}", "AB1234", true],
    ["[A-Z]{2}[0-9]{4}", "xAB1234", false],
    ["a|ab", "ab", true],
  ])("%s is matched against the whole text, and comes to an end", (pattern, text, whole) => {
    expect(patternProblem(pattern)).toBeUndefined();
    expect(matchesWhole(pattern, text)).toBe(whole);
  });

  it.each([
    ["a(?=b)", /look-around/],
    ["(?!a)b", /look-around/],
    ["(?<=a)b", /look-around/],
    ["(?<!a)b", /look-around/],
    ["(a)\\1", /back-reference/],
    ["(?P<n>a)\\k<n>", /back-reference/],
    ["(a", /missing closing/],
    ["a**", /./],
    ["a{1001}", /./],
    ["((a{100}){100}){100}", /./],
    ["[z-a]", /./],
  ])("%s cannot be used", (pattern, problem) => {
    expect(patternProblem(pattern)).toMatch(problem);
  });
});
