import { describe, expect, it } from "vitest";
import { wantsColour } from "../../src/terminal/colour.js";
import { widthOf } from "../../src/terminal/width.js";

// The rules of no-color.org and force-color.org: a variable that is there and not empty counts.
describe("colour", () => {
  it.each([
    [{ isTerminal: true }, true],
    [{ isTerminal: false }, false],
    [{ isTerminal: true, refused: true }, false],
    [{ isTerminal: true, NO_COLOR: "1" }, false],
    [{ isTerminal: true, NO_COLOR: "0" }, false],
    [{ isTerminal: true, NO_COLOR: "" }, true],
    [{ isTerminal: true, TERM: "dumb" }, false],
    [{ isTerminal: true, TERM: "xterm-256color" }, true],
    [{ isTerminal: false, CI: "true" }, false],
    [{ isTerminal: false, FORCE_COLOR: "1" }, true],
    [{ isTerminal: false, FORCE_COLOR: "true" }, true],
    [{ isTerminal: false, FORCE_COLOR: "" }, false],
    [{ isTerminal: true, FORCE_COLOR: "0" }, false],
    [{ isTerminal: true, FORCE_COLOR: "FALSE" }, false],
    [{ isTerminal: true, TERM: "dumb", FORCE_COLOR: "1" }, true],
    [{ isTerminal: true, NO_COLOR: "1", FORCE_COLOR: "1" }, false],
    [{ isTerminal: true, refused: true, FORCE_COLOR: "1" }, false],
  ])("%j: %s", ({ isTerminal, refused = false, ...environment }: Record<string, unknown>, wanted) => {
    expect(
      wantsColour({
        isTerminal: isTerminal === true,
        refused: refused === true,
        environment: environment as Record<string, string>,
      }),
    ).toBe(wanted);
  });
});

describe("width", () => {
  it.each([
    [undefined, undefined, 80],
    [undefined, 0, 80],
    [undefined, 120, 120],
    [undefined, 10, 40],
    ["", 120, 120],
    ["0", 120, 120],
    ["40", 120, 40],
    ["200", undefined, 200],
    ["20", undefined, 40],
    ["-5", undefined, 80],
    ["1e9", undefined, 80],
    ["999999999", undefined, 80],
    ["many", 100, 100],
  ])("COLUMNS %j at a terminal of %j: %i", (named, columns, width) => {
    expect(widthOf(named === undefined ? {} : { COLUMNS: named }, columns)).toBe(width);
  });
});
