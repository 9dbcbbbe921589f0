import { fileURLToPath } from "node:url";
import vm from "node:vm";
import { build } from "esbuild";
import { expect, it } from "vitest";

const entry = fileURLToPath(new URL("../src/index.ts", import.meta.url));
const bundle = (entryPoint: string) =>
  build({
    entryPoints: [entryPoint],
    bundle: true,
    platform: "browser",
    format: "iife",
    globalName: "core",
    target: "es2022",
    write: false,
    logLevel: "silent",
  });

it("bundles for a browser: no import of a Node module, direct or through a dependency", async () => {
  const result = await bundle(entry);
  expect(result.warnings).toEqual([]);
});

it("runs where none of Node's globals exist", async () => {
  const [file] = (await bundle(entry)).outputFiles;
  // A fresh context has the language's own globals and no Buffer, process, require or timers.
  const context = vm.createContext({});
  vm.runInContext(file?.text ?? "", context);
  expect(vm.runInContext("typeof Buffer + typeof process + typeof require", context)).toBe("undefined".repeat(3));
  const text = ":0401000001020304F1\\n:00000001FF\\n";
  const known = vm.runInContext(
    `core.decode(Uint8Array.from("${text}", (c) => c.charCodeAt(0))).image.spans.map((s) => [s.start, s.end]).join()`,
    context,
  );
  expect(known).toBe("256,260");
});

it("would say so: a Node import fails the bundle", async () => {
  const result = build({
    stdin: { contents: 'import "node:fs"' },
    bundle: true,
    platform: "browser",
    write: false,
    logLevel: "silent",
  });
  await expect(result).rejects.toThrow(/Could not resolve "node:fs"/);
});
