import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { catalogue, refusals } from "@assay/core";
import { expect, it } from "vitest";
import { findingsPage, findingsPath } from "../findings-page.js";

it("is what the catalogue says: npx tsx packages/checks/findings-page.ts writes it", () => {
  expect(readFileSync(findingsPath, "utf8")).toBe(findingsPage());
});

it("has no code of a refusal that nothing refuses with, and none that is a finding's", () => {
  const texts = ["core", "cli"].flatMap((name) => {
    const source = fileURLToPath(new URL(`../../${name}/src/`, import.meta.url));
    return (readdirSync(source, { recursive: true }) as string[])
      .filter((path) => path.endsWith(".ts") && !path.endsWith("refusals.ts"))
      .map((path) => readFileSync(`${source}${path}`, "utf8"));
  });
  const codes = Object.keys(refusals);
  expect(codes.filter((code) => !texts.some((text) => text.includes(`"${code}"`)))).toEqual([]);
  expect(codes.filter((code) => Object.hasOwn(catalogue, code))).toEqual([]);
});
