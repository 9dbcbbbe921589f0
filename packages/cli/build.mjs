// Bundles the command line into dist/: one entry file plus chunks that load only when a command needs them.
import { mkdir, readdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
const folder = at("./dist");
const { outputFiles } = await build({
  entryPoints: { assay: at("./src/bin.ts") },
  bundle: true,
  platform: "node",
  target: "node20.19",
  format: "esm",
  splitting: true,
  outdir: folder,
  outExtension: { ".js": ".mjs" },
  chunkNames: "chunk-[name]-[hash]",
  alias: { "@assay/core": at("../core/src/index.ts") },
  // commander's main file is CommonJS and asks for node:events by require().
  banner: {
    js: 'import { createRequire as __createRequire } from "node:module"; const require = __createRequire(import.meta.url);',
  },
  // Less to read at every start.
  minifyWhitespace: true,
  minifySyntax: true,
  legalComments: "linked",
  logLevel: "warning",
  write: false,
});

// A program that is running keeps finding its chunks: what is the same is not touched, what is new is put in place
// whole, the entry last, and only then goes what is left over.
await mkdir(folder, { recursive: true });
const wanted = new Map(outputFiles.map(({ path, contents }) => [basename(path), contents]));
const inOrder = [...wanted.keys()].sort((a, b) => Number(a === "assay.mjs") - Number(b === "assay.mjs"));
for (const name of inOrder) {
  const there = await readFile(join(folder, name)).catch(() => undefined);
  if (there && Buffer.compare(there, wanted.get(name)) === 0) continue;
  const partial = join(folder, `.${process.pid}-${name}`);
  await writeFile(partial, wanted.get(name));
  await rename(partial, join(folder, name));
}
for (const name of await readdir(folder)) if (!wanted.has(name)) await rm(join(folder, name), { force: true });
