import type { JobSheet } from "@assay/core";
import type { World } from "./world.js";

/** The job sheet that --job asks for; what understands one is loaded only then. */
export async function wishedJob(world: World, path: string | undefined): Promise<JobSheet | undefined> {
  return path === undefined ? undefined : (await import("./job-sheet.js")).readJobSheet(world, path);
}
