import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { findingsPage, findingsPath } from "../findings-page.js";

it("is what the catalogue says: npx tsx packages/checks/findings-page.ts writes it", () => {
  expect(readFileSync(findingsPath, "utf8")).toBe(findingsPage());
});
