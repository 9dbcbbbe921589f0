// Bundles the command line into dist/: one file whose parts begin only when a command needs them, and its compiled code.
import { spawnSync } from "node:child_process";
import { mkdir, readdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
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

/** The parser can start programs of its own, which this one has none of: what it would need for it takes a while to load. */
const noPrograms = {
  name: "no-programs",
  setup(bundle) {
    bundle.onResolve({ filter: /^node:child_process$/ }, ({ importer }) =>
      importer.includes("commander") ? { path: "child_process", namespace: "no-programs" } : undefined,
    );
    bundle.onLoad({ filter: /./, namespace: "no-programs" }, () => ({ contents: "module.exports = {};" }));
  },
};

/**
 * The command line names what it takes from the core by the core's index. Here each name is taken from the file that it
 * stands in, or else the first of them would have all of the core begun before the program's first line.
 */
const coreIndex = at("../core/src/index.ts");
const coreInPieces = {
  name: "core-in-pieces",
  async setup(bundle) {
    const homes = await exportsOf(coreIndex);
    const commandLine = at("./src/");
    bundle.onLoad({ filter: /\.ts$/ }, async ({ path }) => {
      if (!path.startsWith(commandLine)) return undefined;
      const text = await readFile(path, "utf8");
      const contents = text.replace(/^import \{([^}]*)\} from "@assay\/core";/gm, (_, names) =>
        namesIn(names)
          .map(({ name, as }) => {
            if (!homes.has(name)) throw new Error(`${path}: the core exports no ${name}`);
            return `import { ${name} as ${as} } from ${JSON.stringify(homes.get(name))};`;
          })
          .join(" "),
      );
      return { contents, loader: "ts" };
    });
  },
};

/** The names between the braces of an import or export, without those of types. */
function namesIn(list) {
  const all = list.split(",").map((one) => one.trim());
  return all
    .filter((one) => one !== "" && !one.startsWith("type "))
    .map((one) => one.split(" as "))
    .map(([name, as = name]) => ({ name, as }));
}

/** What a file of the core exports, and the file that it stands in. */
async function exportsOf(file) {
  const text = await readFile(file, "utf8");
  const homes = new Map();
  for (const [, name] of text.matchAll(/^export (?:async )?(?:const|class|function\*?) (\w+)/gm)) homes.set(name, file);
  for (const [, list, from] of text.matchAll(/^export (?:\*|\{([^}]*)\}) from "(.*)\.js";/gm)) {
    const home = join(dirname(file), `${from}.ts`);
    const there = await exportsOf(home);
    const names = list === undefined ? [...there.keys()].map((name) => ({ name, as: name })) : namesIn(list);
    for (const { name, as } of names) homes.set(as, there.get(name));
  }
  return homes;
}

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
  entryPoints: { assay: at("./src/starts.ts") },
  bundle: true,
  platform: "node",
  target: "node20.19",
  format: "cjs",
  // An import that waits begins a part of this file, or calls for one of Node's own modules.
  supported: { "dynamic-import": false },
  outdir: folder,
  absWorkingDir: at("."), // the names of the parts count from here
  outExtension: { ".js": ".cjs" },
  banner: { js: "(function (exports, require, module, bundleUrl) {" },
  footer: { js: "})" },
  define: { "import.meta.url": "bundleUrl" },
  plugins: [seldomLate, noPrograms, coreInPieces],
  external: Object.keys(seldom).map((name) => `./${name}.cjs`),
  // Less to read at every start; with names, a trace says where something went wrong.
  minifyWhitespace: true,
  minifySyntax: true,
  legalComments: "linked",
  logLevel: "warning",
  write: false,
});

// What is the same is not touched, what is new is put in place whole, and only then goes what is left over.
await mkdir(folder, { recursive: true });
const late = await Promise.all(Object.keys(seldom).map(lateFile));
const wanted = new Map([...late.flat(), ...outputFiles].map(({ path, contents }) => [basename(path), contents]));
for (const [name, contents] of wanted) {
  const there = await readFile(join(folder, name)).catch(() => undefined);
  if (there && Buffer.compare(there, contents) === 0) continue;
  const partial = join(folder, `.${process.pid}-${name}`);
  await writeFile(partial, contents);
  await rename(partial, join(folder, name));
}
for (const name of await readdir(folder)) {
  if (!wanted.has(name)) await rm(join(folder, name), { force: true });
}

// Compiled code is kept of what these commands use. Their answers, and what they exit with, are the tests' concern.
const family = at("../../test-vectors/workboat");
const [port, starboard] = [join(family, "port.hex.gz"), join(family, "starboard-other-build.bin.gz")];
const known = ["--profile", join(family, "profile.json")];
for (const command of [
  ["pair", port, starboard, ...known],
  ["pair", port, starboard, ...known, "--json"],
]) {
  spawnSync(process.execPath, [at("./compile.cjs"), ...command], { stdio: "ignore" });
}
