import { describe, expect, it } from "vitest";
import { parseQuantity, parseRange } from "../src/quantity.js";

describe("a number on the command line", () => {
  it.each([
    ["0", 0],
    ["4096", 4096],
    ["010", 10],
    ["0x1000", 0x1000],
    ["0XfF", 255],
    ["4K", 4096],
    ["4k", 4096],
    ["0x10K", 16384],
    ["1M", 2 ** 20],
    ["4096M", 2 ** 32],
    ["0x100000000", 2 ** 32],
    ["4294967295", 2 ** 32 - 1],
  ])("%s is %i", (text, value) => expect(parseQuantity(text)).toEqual({ value }));

  it.each([
    "",
    " ",
    "-1",
    "+1",
    "1.5",
    "1e3",
    "0x",
    "x10",
    "1G",
    "K",
    "1 K",
    "1_000",
    "0b1",
    "\u0661",
    "4294967297",
    "0x100000001",
    "4097M",
    "99999999999999999999999999",
    "0xffffffffffffffffffffffM",
    "Infinity",
    "NaN",
    "1K\n",
  ])("%j is none", (text) => {
    const { value, problem } = parseQuantity(text);
    expect(value).toBeUndefined();
    expect(problem).toMatch(/^expected .*, got /);
  });
});

describe("addresses on the command line", () => {
  it.each([
    ["0..256K", { start: 0, end: 262144 }],
    ["0x8000..0x8001", { start: 0x8000, end: 0x8001 }],
    ["0..4096M", { start: 0, end: 2 ** 32 }],
  ])("%s is %j", (text, value) => expect(parseRange(text)).toEqual({ value }));

  it.each(["", "..", "0", "0..", "..5", "5..5", "6..5", "0..1..2", "0...5", "0-5", "0..4097M", "0 .. 5"])(
    "%j is none",
    (text) => expect(parseRange(text).problem).toMatch(/^expected /),
  );
});
