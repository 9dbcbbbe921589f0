import { formatNames, layoutNames, writtenFormatNames } from "@assay/core";
import { expect, it } from "vitest";
import { formats, layouts, writtenFormats } from "../src/options.js";

// The command line has lists of its own, so that its help needs nothing of the core.
it("knows the core's formats and layouts, in its order", () => {
  expect([...formats]).toEqual([...formatNames]);
  expect([...writtenFormats]).toEqual([...writtenFormatNames]);
  expect([...layouts]).toEqual([...layoutNames]);
});
