import type { NamesGiven } from "@assay/core";
import type { World } from "./world.js";

/** The measurement description that --names asks for; what reading it takes is loaded only then. */
export async function wishedNames(world: World, path: string | undefined): Promise<NamesGiven | undefined> {
  return path === undefined ? undefined : (await import("./names.js")).readNames(world, path);
}
