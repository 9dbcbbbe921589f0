import { readFileSync } from "node:fs";
import { algorithmNames } from "@assay/core";
import { describe, expect, it } from "vitest";
import { algorithmsPage, algorithmsPath } from "../algorithms-page.js";

describe("the page of algorithms", () => {
  it("is what the catalogues say: npx tsx packages/checks/algorithms-page.ts writes it", () => {
    expect(readFileSync(algorithmsPath, "utf8")).toBe(algorithmsPage());
  });

  it("has every name that a profile may use", () => {
    const page = readFileSync(algorithmsPath, "utf8");
    expect(algorithmNames().filter((name) => !page.includes(`\`${name}\``))).toEqual([]);
  });
});
