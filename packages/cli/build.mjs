// Bundles the command line into dist/: one entry file plus chunks that load only when a command needs them.
import { mkdir, readdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
const folder = at("./dist");

/**
 * What few runs need, with the parts of it that are used: matching patterns, unpacking, and measuring text that is not
 * ASCII, whose segmenter alone takes longer to set up than comparing two images. Each becomes a file that loads on first use.
 */
const seldom = {
  re2js: ["RE2JS"],
  fflate: ["Gunzip", "Inflate"],
  "fast-xml-parser": ["XMLParser", "XMLValidator"],
  "string-width": ["default"],
};
const seldomLate = {
  name: "seldom-late",
  setup(bundle) {
    const filter = new RegExp(`^(${Object.keys(seldom).join("|")})$`);
    bundle.onResolve({ filter }, ({ path }) => ({
      path,
      namespace: "seldom",
      sideEffects: false,
    }));
    bundle.onLoad({ filter: /./, namespace: "seldom" }, ({ path }) => ({ contents: standInFor(path) }));
  },
};

/** A module whose exports stand in for those of `name`, and load them when one is called, constructed or looked into. */
function standInFor(name) {
  const exported = seldom[name].map((part) => `const ${part}_ = late("${part}"); export { ${part}_ as ${part} };`);
  return `let all;
    const real = (part) => (all ??= require("./${name}.cjs"))[part];
    const late = (part) => new Proxy(function () {}, {
      get: (_, key) => real(part)[key],
      apply: (_, self, values) => Reflect.apply(real(part), self, values),
      construct: (_, values) => Reflect.construct(real(part), values),
    });
    ${exported.join("\n")}`;
}

/** esbuild puts all of the core before the entry's first line when its index names what it passes on; passing on all it does not. */
const coreIndex = at("../core/src/index.ts");
const coreInPieces = {
  name: "core-in-pieces",
  setup(bundle) {
    bundle.onLoad({ filter: /index\.ts$/ }, async ({ path }) => {
      if (path !== coreIndex) return undefined;
      const text = await readFile(path, "utf8");
      return { contents: text.replace(/^export \{[^}]*\} from/gm, "export * from"), loader: "ts" };
    });
  },
};

/** The file that is loaded late for `name`. */
async function lateFile(name) {
  const { outputFiles } = await build({
    stdin: {
      contents: `export { ${seldom[name]} } from "${name}";`,
      resolveDir: at(name === "string-width" ? "." : "../core"),
    },
    bundle: true,
    platform: "node",
    // Without worker threads, which take longer to load than unpacking takes.
    conditions: ["browser"],
    mainFields: ["browser", "module", "main"],
    target: "node20.19",
    format: "cjs",
    outfile: join(folder, `${name}.cjs`),
    minify: true,
    legalComments: "linked",
    logLevel: "warning",
    write: false,
  });
  return outputFiles;
}

const { outputFiles } = await build({
  entryPoints: { assay: at("./src/bin.ts"), "seek-worker": at("./src/seek/worker.ts") },
  bundle: true,
  platform: "node",
  target: "node20.19",
  format: "esm",
  splitting: true,
  outdir: folder,
  outExtension: { ".js": ".mjs" },
  chunkNames: "chunk-[name]-[hash]",
  alias: { "@assay/core": coreIndex },
  // commander's main file is CommonJS and asks for node:events by require(); so are the files that load late.
  banner: {
    js: 'import { createRequire as __createRequire } from "node:module"; const require = __createRequire(import.meta.url);',
  },
  plugins: [seldomLate, coreInPieces],
  external: Object.keys(seldom).map((name) => `./${name}.cjs`),
  // Less to read at every start.
  minify: true,
  legalComments: "linked",
  logLevel: "warning",
  write: false,
});

// A program that is running keeps finding its chunks: what is the same is not touched, what is new is put in place
// whole, the entry last, and only then goes what is left over.
await mkdir(folder, { recursive: true });
const late = await Promise.all(Object.keys(seldom).map(lateFile));
const wanted = new Map([...late.flat(), ...outputFiles].map(({ path, contents }) => [basename(path), contents]));
const inOrder = [...wanted.keys()].sort((a, b) => Number(a === "assay.mjs") - Number(b === "assay.mjs"));
for (const name of inOrder) {
  const there = await readFile(join(folder, name)).catch(() => undefined);
  if (there && Buffer.compare(there, wanted.get(name)) === 0) continue;
  const partial = join(folder, `.${process.pid}-${name}`);
  await writeFile(partial, wanted.get(name));
  await rename(partial, join(folder, name));
}
for (const name of await readdir(folder)) if (!wanted.has(name)) await rm(join(folder, name), { force: true });
