import { main } from "../../src/main.js";
import { stillWorld } from "./world.js";

/** Runs the program inside of this process: the same from the arguments to the exit code, without the start of Node. */
export async function inside(args: readonly string[], environment: Readonly<Record<string, string>> = {}) {
  const world = stillWorld();
  const code = await main(args, { ...world, environment });
  return { code, stdout: world.written.join(""), stderr: world.told.join("") };
}
