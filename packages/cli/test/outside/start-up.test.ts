import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const dist = fileURLToPath(new URL("../../dist/", import.meta.url));

/** The files that `file` of the bundle cannot start without, itself among them. */
function closureOf(file: string, found = new Set<string>()): Set<string> {
  if (found.has(file)) return found;
  found.add(file);
  const imports = readFileSync(file, "utf8").matchAll(/(?:^|[;}\n])import(?:[^;"'()]*from)?"(\.[^"]+)"/g);
  for (const [, path] of imports) closureOf(join(dirname(file), path as string), found);
  return found;
}

// One careless export in the core's index makes the bundler put all of it before the first line of the program.
describe("what is loaded before anything is done", () => {
  it("is the entry and a few small files", () => {
    const files = [...closureOf(join(dist, "assay.mjs"))];
    expect(files.length).toBeGreaterThan(1);
    expect(files.reduce((total, file) => total + statSync(file).size, 0)).toBeLessThan(40_000);
  });
});

describe("what is loaded to hold two raw files together", () => {
  it("holds no reader of containers or descriptions", () => {
    const command = readdirSync(dist).find((name) => /^chunk-pair-.*\.mjs$/.test(name)) ?? "";
    const files = [...closureOf(join(dist, command))];
    expect(files.length).toBeGreaterThan(1);
    const text = files.map((file) => readFileSync(file, "utf8")).join("");
    for (const word of ["FLASHDATA", "RECORD_LAYOUT", "XMLValidator"]) expect(text).not.toContain(word);
  });
});
