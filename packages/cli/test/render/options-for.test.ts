import { catalogue, isFindingCode, isRefusalCode, refusals } from "@assay/core";
import type { Command } from "commander";
import { describe, expect, it } from "vitest";
import { programFor } from "../../src/program.js";
import { optionsFor, withOptions } from "../../src/render/options-for.js";
import type { World } from "../../src/world.js";

const program = programFor({ environment: {}, stdout: {}, stderr: {} } as World, { help: () => {}, ended: () => {} });

/** Everything that can be typed: the commands with the words before them, and the options of all of them. */
function typable(command: Command, before = ""): string[] {
  const name = `${before}${command.name()}`;
  const options = ["--help", ...command.options.flatMap(({ long }) => long ?? [])];
  return [
    name,
    ...options,
    ...options.map((option) => `${name} ${option}`),
    ...command.commands.flatMap((one) => typable(one, `${name} `)),
  ];
}

describe.each(Object.entries(optionsFor))("the advice for %s", (code, named) => {
  const advice = isFindingCode(code) ? catalogue[code].next : isRefusalCode(code) ? refusals[code].next : "";

  it.each(Object.entries(named))("says %s, once", (words) => expect(advice.split(words)).toHaveLength(2));

  it.each(Object.values(named))("is followed by typing %s", (typed) => expect(typable(program)).toContain(typed));
});

it("puts what to type behind the words that it does", () => {
  expect(withOptions("donor/side-unasked", catalogue["donor/side-unasked"].next)).toBe(
    "Say on which side the unit is to work (--side), or give the read of its twin (--twin).",
  );
  expect(withOptions("pair/same-side", "Say on which side the unit is to work.")).toBe(
    "Say on which side the unit is to work.",
  );
});
