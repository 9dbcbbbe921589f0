import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { kernelCode, kernelCodePath } from "../kernel.js";

it("is what its text comes to: npx tsx packages/checks/kernel.ts writes it", async () => {
  expect(readFileSync(kernelCodePath, "utf8")).toBe(await kernelCode());
});
