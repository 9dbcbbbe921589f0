import { Refusal, reportInput } from "@assay/core";
import { DONE } from "../exit-code.js";
import { onlyOnce, readInputs } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { outputWidth, print, printJson } from "../output.js";
import { renderSeek } from "../render/seek.js";
import { filled } from "../seek/filled.js";
import { search } from "../seek/search.js";
import type { World } from "../world.js";

export interface SeekWishes extends CommonOptions {
  /** Seconds. */
  readonly budget?: number;
  readonly fill?: number;
}

/** More reads of one family do not tell more: eight differing ones settle any value of eight bits. */
const mostReads = 16;

/** Finds ranges that check themselves, without being told anything. */
export async function seek(world: World, paths: readonly string[], wishes: SeekWishes): Promise<number> {
  if (paths.length > mostReads) {
    throw new Refusal("usage/too-many-reads", `expected at most ${mostReads} reads of one family, got ${paths.length}`);
  }
  onlyOnce(paths);
  const role = (i: number) => (paths.length === 1 ? "read" : `read-${i + 1}`);
  const inputs = await readInputs(world, Object.fromEntries(paths.map((path, i) => [role(i), path])), wishes);
  const images = inputs.map(({ decoded }, i) => filled(decoded.image, wishes.fill, paths[i] as string));
  const result = await search(world, images, wishes);
  if (wishes.json) {
    await printJson(world, { schema: "assay.seek/1", inputs: inputs.map(reportInput), ...result });
  } else if (!wishes.quiet) {
    await print(world, renderSeek(result, outputWidth(world)), wishes);
  }
  return DONE;
}
