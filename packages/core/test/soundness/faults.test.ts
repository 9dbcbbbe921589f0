import { expect, it } from "vitest";
import { chanceOf, inPart, leavesTrace } from "./faults.js";

const chance = chanceOf(5);
const clean = Uint8Array.from({ length: 5000 }, () => chance(256));
const part = inPart(clean);

it("counts no read whose end alone was erased as a damaged one", () => {
  expect(leavesTrace(clean, part)).toBe(false);
  expect(leavesTrace(clean, part.slice().fill(0xff, 4096))).toBe(false);
  expect(leavesTrace(clean, part.slice().fill(0, 2048))).toBe(false);
});

it("counts every other damage, also a read of nothing and one that was cut", () => {
  expect(leavesTrace(clean, new Uint8Array(8192).fill(0xff))).toBe(true);
  expect(leavesTrace(clean, part.slice().fill(0xff, 1024, 2048))).toBe(true);
  expect(leavesTrace(clean, part.slice().copyWithin(4096, 0, 2048))).toBe(true);
  expect(leavesTrace(clean, part.slice(0, 4097))).toBe(true);
});
