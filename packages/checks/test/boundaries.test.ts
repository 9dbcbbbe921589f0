import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { layers, soleImporters, strangers } from "../layers.js";

const packages = fileURLToPath(new URL("../../", import.meta.url));

function sourcesOf(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts"))
    .map((name) => join(folder, name));
}

function importsOf(file: string): string[] {
  const text = readFileSync(file, "utf8");
  const statements = /^(?:import|export)\b[^;"]*?\bfrom\s+"([^"]+)"|^import\s+"([^"]+)"|\bimport\("([^"]+)"\)/gm;
  return [...text.matchAll(statements)].map((match) => (match[1] ?? match[2] ?? match[3]) as string);
}

/** Files that import each other in a circle, types and what is loaded later among them: in the order of the imports. */
function circleIn(root: string): string[] | undefined {
  const done = new Set<string>();
  const visit = (file: string, way: readonly string[]): string[] | undefined => {
    if (way.includes(file)) return [...way.slice(way.indexOf(file)), file].map((one) => relative(root, one));
    if (done.has(file)) return undefined;
    for (const name of importsOf(file).filter((one) => one.startsWith("."))) {
      const found = visit(join(dirname(file), name).replace(/\.js$/, ".ts"), [...way, file]);
      if (found) return found;
    }
    done.add(file);
    return undefined;
  };
  for (const file of sourcesOf(root)) {
    const found = visit(file, []);
    if (found) return found;
  }
  return undefined;
}

it.each(["core/src", "cli/src"])("no files of %s import each other in a circle", (folder) => {
  expect(circleIn(join(packages, folder))?.join(" -> ")).toBeUndefined();
});

describe("the core", () => {
  const root = join(packages, "core/src");
  const layerOf = (folder: string) => layers.findIndex((line) => line.includes(folder));
  const files = sourcesOf(root);

  it("has a line in the list for every folder", () => {
    for (const file of files) {
      const folder = relative(root, file).split("/")[0] as string;
      expect(layerOf(folder), `${folder} is in no line of the list`).toBeGreaterThanOrEqual(0);
    }
  });

  it("imports upwards only", () => {
    expect(importing((own, other) => other !== own && layerOf(other) >= layerOf(own))).toEqual([]);
  });

  it("names no finding where it measures, and holds no image where it judges", () => {
    for (const folder of Object.keys(strangers)) expect(layerOf(folder), folder).toBeGreaterThanOrEqual(0);
    expect(importing((own, other) => strangers[own]?.includes(other) === true)).toEqual([]);
  });

  /** What files of one folder import of another, where `wrong` says that they may not. */
  function importing(wrong: (own: string, other: string) => boolean): string[] {
    const folderOf = (file: string) => relative(root, file).split("/")[0] as string;
    return files.flatMap((file) =>
      importsOf(file)
        .filter((name) => name.startsWith("."))
        .map((name) => folderOf(join(dirname(file), name)))
        .filter((other) => wrong(folderOf(file), other))
        .map((other) => `${relative(root, file)} imports ${other}, which it may not`),
    );
  }

  it("speaks to whoever calls it: no text names an option of the command line", () => {
    const naming = files.flatMap((file) =>
      (readFileSync(file, "utf8").match(/(?<![\w-])--[a-z][a-z-]*/g) ?? []).map(
        (found) => `${relative(root, file)}: ${found}`,
      ),
    );
    expect(naming).toEqual([]);
  });

  it("imports each library in one place, and nothing of a platform", () => {
    const wrong: string[] = [];
    for (const file of files) {
      const own = relative(root, file);
      for (const wanted of importsOf(file).filter((name) => !name.startsWith("."))) {
        const library = Object.keys(soleImporters).find((name) => wanted === name || wanted.startsWith(`${name}/`));
        if (!library || !soleImporters[library]?.test(own)) wrong.push(`${own} imports ${wanted}, which it may not`);
      }
    }
    expect(wrong).toEqual([]);
  });
});

describe("the command line", () => {
  const root = join(packages, "cli/src");

  it("imports the core by its name only", () => {
    for (const file of sourcesOf(root)) {
      for (const wanted of importsOf(file)) {
        expect(
          wanted.includes("core/src") || wanted.startsWith("@assay/core/"),
          `${relative(root, file)}: ${wanted}`,
        ).toBe(false);
      }
    }
  });

  it("draws reports without deciding: render/ takes nothing but types from the core", () => {
    for (const file of sourcesOf(root).filter((name) => relative(root, name).startsWith("render/"))) {
      const lines = readFileSync(file, "utf8").match(/^import .*from "@assay\/core";$/gm) ?? [];
      for (const line of lines) expect(line, relative(root, file)).toMatch(/^import type /);
    }
  });
});
