import { existsSync, readFileSync } from "node:fs";
import * as core from "@assay/core";
import { describe, expect, it } from "vitest";

const folder = new URL("../../core/", import.meta.url);
const text = readFileSync(new URL("README.md", folder), "utf8");
const index = readFileSync(new URL("src/index.ts", folder), "utf8");
const { files } = JSON.parse(readFileSync(new URL("package.json", folder), "utf8")) as { files: string[] };

describe("the page of the core", () => {
  const quoted = [...text.matchAll(/`([^`\n]+)`/g)].map(([, word = ""]) => word);
  const named = quoted.filter((word) => /^\w+$/.test(word));
  const imported = [...text.matchAll(/import \{ ([^}]*) \} from "@assay\/core"/g)].flatMap(([, list = ""]) =>
    list.split(", "),
  );

  it.each([...new Set([...named, ...imported])])("names %s, which there is", (name) => {
    expect(name in core || new RegExp(`\\btype (\\{[^}]*\\b)?${name}\\b`).test(index)).toBe(true);
  });

  it.each(quoted.filter((word) => /^[a-z]+\//.test(word)))("leads to %s, which is packed", (path) => {
    expect(existsSync(new URL(path, folder))).toBe(true);
    expect(files).toContain(path.split("/")[0]);
  });

  it("has a place for every question", () => {
    for (const name of Object.keys(core).filter((one) => one.startsWith("ask"))) expect(named).toContain(name);
  });
});

it("names in the index of the core what there is, and nothing twice", () => {
  expect(index).not.toContain("export *");
  const names = [...index.matchAll(/^export (?:type )?\{([^}]*)\}/gm)].flatMap(([, list = ""]) =>
    list
      .split(",")
      .map((name) => name.trim().replace(/^type /, ""))
      .filter((name) => name !== ""),
  );
  expect(names.length).toBeGreaterThan(100);
  expect(names.filter((name, i) => names.indexOf(name) !== i)).toEqual([]);
  expect(Object.keys(core).filter((name) => !names.includes(name))).toEqual([]);
});
