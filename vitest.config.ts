import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const at = (path: string) => fileURLToPath(new URL(path, import.meta.url));
// Tests read the packages' TypeScript sources, so none of them needs a build first.
const resolve = { alias: [{ find: /^@assay\/core$/, replacement: at("./packages/core/src/index.ts") }] };
const project = (name: string, root: string, include: string[], more = {}) => ({
  resolve,
  // Only what hangs comes to its end so: how long a test takes says nothing.
  test: { name, root: at(root), include, testTimeout: 300_000, hookTimeout: 300_000, ...more },
});

export default defineConfig({
  test: {
    reporters: ["default", at("./packages/checks/closing-line.ts")],
    projects: [
      project("core", "./packages/core", ["test/**/*.test.ts"]),
      project("cli", "./packages/cli", ["test/**/*.test.ts"], {
        globalSetup: at("./packages/checks/build-cli.ts"),
      }),
      project("checks", "./packages/checks", ["test/**/*.test.ts"]),
    ],
    coverage: { provider: "v8", include: ["packages/*/src/**"], reporter: ["text"] },
  },
});
