import { expect, it } from "vitest";
import { nearest } from "../src/nearest.js";

const names = ["pair/same-side", "pair/same-file", "unit/field-erased"];

it.each([
  ["pair/same-sid", "pair/same-side"],
  ["pair/smae-side", "pair/same-side"],
  ["pair/samefile", "pair/same-file"],
  ["unit/field-erase", "unit/field-erased"],
  ["unit-field-erased", "unit/field-erased"],
])("%s was meant to be %s", (text, name) => expect(nearest(text, names)).toBe(name));

it("does not guess at what is far from all of them", () => {
  expect(nearest("weather", names)).toBeUndefined();
  expect(nearest("", names)).toBeUndefined();
});

// What grows with the square of the text would not come to its end.
it("is not held up by a long text", () => {
  expect(nearest("a".repeat(10_000_000), names)).toBeUndefined();
});
