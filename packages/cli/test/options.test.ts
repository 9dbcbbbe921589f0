import { formatNames, layoutNames } from "@assay/core";
import { expect, it } from "vitest";
import { formats, layouts } from "../src/options.js";

// The command line names them itself, so that its help does not wait for the core to load.
it("offers the layouts and formats that the core knows", () => {
  expect([...layouts].sort()).toEqual([...layoutNames].sort());
  expect([...formats].sort()).toEqual([...formatNames].sort());
});
