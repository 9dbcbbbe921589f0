import type { InputFile, Report } from "@assay/core";
import type { CommonOptions } from "./options.js";
import type { World } from "./world.js";

/** `report` with names at its differences, when --names asks for them; what that takes is loaded only then. */
export async function withWishedNames(
  world: World,
  report: Report,
  inputs: readonly InputFile[],
  { names }: Pick<CommonOptions, "names">,
): Promise<Report> {
  return names === undefined ? report : (await import("./names.js")).named(world, names, report, inputs);
}
