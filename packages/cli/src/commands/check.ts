import { askCheck, askVote, type CheckRequest, Refusal, subtract } from "@assay/core";
import { accelerators } from "../accelerators.js";
import { answer } from "../answer.js";
import { onlyOnce, readInputs, readParts } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { tell } from "../output.js";
import { readProfile } from "../profile-file.js";
import { showAddress } from "../render/numbers.js";
import { VERSION } from "../version.js";
import { wishedJob } from "../wished-job.js";
import type { World } from "../world.js";
import { type ImageTarget, imageTarget, writeImage } from "../write-image.js";

/** More reads of one unit than anybody makes: a pattern that stands for a whole folder is a mistake that is told early. */
const mostReads = 16;

/** Is this a sound read, and of what? */
export async function check(world: World, paths: readonly string[], wishes: CommonOptions): Promise<number> {
  if (paths.length > mostReads) {
    throw new Refusal("usage/too-many-reads", `expected at most ${mostReads} reads of one unit, got ${paths.length}`);
  }
  onlyOnce([...paths, wishes.profile, wishes.job]);
  const profile = await readProfile(world, wishes.profile, wishes);
  const role = (i: number) => (paths.length === 1 ? "read" : `read-${i + 1}`);
  const reads = wishes.parts
    ? [await readParts(world, paths, wishes.parts, wishes, profile)]
    : await readInputs(world, Object.fromEntries(paths.map((path, i) => [role(i), path])), wishes, profile);
  const request: CheckRequest = {
    reads,
    profile,
    job: await wishedJob(world, wishes.job),
    side: wishes.side,
    private: wishes.private === true,
    version: VERSION,
    accelerators,
  };
  const target = imageTarget(world, wishes);
  const report = target ? await voted(world, request, target, wishes) : askCheck(request);
  return answer(world, report, wishes);
}

/** The report on the image that the reads vote for, after it was written to `target`. What was not settled is a hole in it. */
async function voted(world: World, request: CheckRequest, target: ImageTarget, wishes: CommonOptions) {
  const { report, image, mask } = askVote(request);
  const [lacking] = image.bounds ? subtract([image.bounds], image.spans) : [];
  if (target.format !== "raw" || !lacking) return { ...report, output: await writeImage(world, target, image, mask) };
  const where = `from ${showAddress(lacking.start)} on not every byte has a majority`;
  await tell(
    world,
    [`${mask(target.path)}: not written, ${where}, and a raw file has no holes; --to intel-hex keeps them`],
    wishes,
  );
  return { ...report, output: null };
}
