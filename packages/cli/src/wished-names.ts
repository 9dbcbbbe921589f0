import type { InputFile, Profile, Report } from "@assay/core";
import type { CommonOptions } from "./options.js";
import type { World } from "./world.js";

/** `report` with names at its differences, when --names asks for them; what that takes is loaded only then. */
export async function withWishedNames(
  world: World,
  report: Report,
  inputs: readonly InputFile[],
  { names, ...wishes }: Pick<CommonOptions, "names" | "private">,
  profile: Profile | undefined,
): Promise<Report> {
  if (names === undefined) return report;
  const options = { private: wishes.private === true, raised: profile?.raise };
  return (await import("./names.js")).named(world, names, report, inputs, options);
}
