import { askReadback, type InputFile, Refusal } from "@assay/core";
import { accelerators } from "../accelerators.js";
import { answer } from "../answer.js";
import { sameFile } from "../files/identity.js";
import { onlyOnce, readInputs } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { readProfile } from "../profile-file.js";
import { VERSION } from "../version.js";
import { wishedNames } from "../wished-names.js";
import type { World } from "../world.js";

export interface ReadbackOptions extends CommonOptions {
  readonly before?: string;
}

/** Is what is in the unit what was meant? */
export async function readback(world: World, meant: string, got: string, wishes: ReadbackOptions): Promise<number> {
  const { before } = wishes;
  onlyOnce([meant, got, before, wishes.profile, wishes.names]);
  const profile = await readProfile(world, wishes.profile, wishes);
  const paths = { intended: meant, readback: got, ...(before !== undefined && { before }) };
  const [intended, read, old] = (await readInputs(world, paths, wishes, profile)) as [InputFile, InputFile, InputFile?];
  refuseOneFile(world, meant, got);
  const report = askReadback({
    intended,
    read,
    before: old,
    profile,
    names: await wishedNames(world, wishes.names),
    private: wishes.private === true,
    version: VERSION,
    accelerators,
  });
  return answer(world, report, wishes);
}

/** A file always agrees with itself: one that is given as both, by whatever name, was not read out of the unit. */
function refuseOneFile({ kept }: World, meant: string, got: string): void {
  const [a, b] = [meant, got].map((path) => kept.find(({ name }) => name === path));
  if (!a || !b) return;
  if (a === b || (a.identity && b.identity && sameFile(a.identity, b.identity))) {
    throw new Refusal("usage/one-file", "expected a file that was read out of the unit, got the intended one again", {
      file: got,
    });
  }
}
