import { askDonor, type Image, type InputFile, Refusal, type Report } from "@assay/core";
import { accelerators } from "../accelerators.js";
import { answer } from "../answer.js";
import { onlyOnce, readInputs } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { tell } from "../output.js";
import { readProfile } from "../profile-file.js";
import { countOf, showAddress } from "../render/numbers.js";
import { VERSION } from "../version.js";
import { wishedJob } from "../wished-job.js";
import type { World } from "../world.js";
import { imageTarget, type Output, writeImage } from "../write-image.js";

export interface DonorOptions extends CommonOptions {
  readonly twin?: string;
}

/** May the donor be written with what the source holds; with --out, what is to be written. */
export async function donor(world: World, source: string, used: string, wishes: DonorOptions): Promise<number> {
  const { twin, out } = wishes;
  onlyOnce([source, used, twin, wishes.profile, wishes.job]);
  if (out !== undefined && wishes.profile === undefined) {
    throw new Refusal(
      "usage/out-without-profile",
      "--out: expected a profile that says what comes from where, got none",
    );
  }
  const profile = await readProfile(world, wishes.profile, wishes);
  const job = await wishedJob(world, wishes.job);
  const paths = { source, donor: used, ...(twin !== undefined && { twin }) };
  const [first, second, third] = (await readInputs(world, paths, wishes, profile)) as [
    InputFile,
    InputFile,
    InputFile?,
  ];
  const target = imageTarget(world, wishes);
  const { report, composed, mask } = askDonor({
    source: first,
    donor: second,
    twin: third,
    profile,
    job,
    side: wishes.side,
    private: wishes.private === true,
    version: VERSION,
    accelerators,
  });
  if (!target) return answer(world, report, wishes);
  if (wishes.json) {
    // One document, so it can only come when the file is there.
    return answer(
      world,
      { ...report, output: composed ? await writeImage(world, target, composed, mask) : null },
      wishes,
    );
  }
  // Whoever reads it sees the plan before anything is written.
  const { record, ...unrecorded } = wishes;
  const code = await answer(world, report, unrecorded);
  const output = composed ? await writeImage(world, target, composed, mask) : null;
  let entered: string[] = [];
  if (record !== undefined) {
    const { enteredText, recordRun } = await import("../record.js");
    entered = enteredText(await recordRun(world, { ...report, output }, record, wishes));
  }
  await tell(
    world,
    output
      ? written(mask(target.path), output, composed, report)
      : [`${mask(target.path)}: not written, the verdict is stop`],
    wishes,
  );
  await tell(world, entered, wishes);
  return code;
}

function written(
  path: string,
  { format, bytes, sha256 }: Output,
  image: Image | undefined,
  { verdict }: Report,
): string[] {
  const start = image?.bounds?.start ?? 0;
  return [
    `${path}: written, ${format}, ${countOf(bytes, "byte")}, sha256 ${sha256}`,
    ...(format === "raw" && start > 0 ? [`not in it: that it begins at ${showAddress(start)}`] : []),
    ...(verdict === "review" ? ["the verdict is review: settle what is open before it goes into the unit"] : []),
  ];
}
