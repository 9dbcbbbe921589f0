// Runs the program as bin/assay.cjs does, and keeps the code that was compiled meanwhile for later starts: build.mjs has
// a few usual commands run so, one after the other, each adding to the code of those before it.
const { renameSync, writeFileSync } = require("node:fs");
const { join } = require("node:path");
const { loadProgram } = require("./bin/load.cjs");

const { starts, keep } = loadProgram();
process.on("exit", () => {
  const partial = join(__dirname, `dist/.${process.pid}-assay.cache`);
  writeFileSync(partial, keep());
  renameSync(partial, join(__dirname, "dist/assay.cache"));
});
starts.assay();
