import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { gunzipSync, gzipSync } from "node:zlib";
import { workboatFiles } from "./files.js";

/** Writes test-vectors/workboat anew: `npx tsx test-vectors/build/workboat/write.ts`. */
const folder = new URL("../../workboat/", import.meta.url);
for (const [name, bytes] of workboatFiles()) {
  const file = new URL(`${name}.gz`, folder);
  // Another zlib packs the same bytes differently, so a file that unpacks to the right bytes is left as it is.
  if (existsSync(file) && gunzipSync(readFileSync(file)).equals(bytes)) continue;
  writeFileSync(file, gzipSync(bytes, { level: 9 }));
  console.log(`written: ${name}.gz`);
}
