import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";

/** Builds the command line once for the tests that start it as a shop script would. */
export default function setup(): void {
  execFileSync(process.execPath, [fileURLToPath(new URL("../cli/build.mjs", import.meta.url))], {
    stdio: ["ignore", "ignore", "inherit"],
  });
}
