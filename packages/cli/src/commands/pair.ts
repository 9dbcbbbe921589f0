import { askPair, type InputFile } from "@assay/core";
import { accelerators } from "../accelerators.js";
import { answer } from "../answer.js";
import { onlyOnce, readInputs } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { readProfile } from "../profile-file.js";
import { VERSION } from "../version.js";
import { wishedJob } from "../wished-job.js";
import { wishedNames } from "../wished-names.js";
import type { World } from "../world.js";

/** Do two units of a mirrored pair carry the same software and data? */
export async function pair(world: World, left: string, right: string, wishes: CommonOptions): Promise<number> {
  onlyOnce([left, right, wishes.profile, wishes.job, wishes.names]);
  const profile = await readProfile(world, wishes.profile, wishes);
  const [first, second] = (await readInputs(world, { left, right }, wishes, profile)) as [InputFile, InputFile];
  const report = askPair({
    left: first,
    right: second,
    profile,
    job: await wishedJob(world, wishes.job),
    names: await wishedNames(world, wishes.names),
    private: wishes.private === true,
    version: VERSION,
    accelerators,
  });
  return answer(world, report, wishes);
}
