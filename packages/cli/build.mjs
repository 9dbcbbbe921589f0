// Bundles the command line into dist/: one entry file plus chunks that load only when a command needs them.
import { rm } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
await rm(at("./dist"), { recursive: true, force: true });
await build({
  entryPoints: { assay: at("./src/bin.ts") },
  bundle: true,
  platform: "node",
  target: "node20.19",
  format: "esm",
  splitting: true,
  outdir: at("./dist"),
  outExtension: { ".js": ".mjs" },
  chunkNames: "chunk-[name]-[hash]",
  alias: { "@assay/core": at("../core/src/index.ts") },
  // commander's main file is CommonJS and asks for node:events by require().
  banner: {
    js: 'import { createRequire as __createRequire } from "node:module"; const require = __createRequire(import.meta.url);',
  },
  legalComments: "linked",
  logLevel: "warning",
});
