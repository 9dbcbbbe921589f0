import { common, type Image, lengthOf, Refusal, reportInput, SHORTEST_RANGE, type Span } from "@assay/core";
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
  const result = await search(world, searchable(images, paths), wishes);
  if (wishes.json) {
    await printJson(world, { schema: "assay.seek/1", inputs: inputs.map(reportInput), ...result });
  } else if (!wishes.quiet) {
    await print(world, renderSeek(result, outputWidth(world)), wishes);
  }
  return DONE;
}

/** @throws Refusal when a read, or what all have in common, holds no range that could be looked at */
function searchable(images: readonly Image[], paths: readonly string[]): readonly Image[] {
  const expected = `expected at least ${SHORTEST_RANGE} bytes in a row`;
  for (const [i, { spans }] of images.entries()) {
    const longest = Math.max(0, ...spans.map(lengthOf));
    const file = paths[i] as string;
    if (longest < SHORTEST_RANGE) throw new Refusal("seek/nothing-to-search", `${expected}, got ${longest}`, { file });
  }
  const shared = images.reduce<readonly Span[]>((spans, image) => common(spans, image.spans), images[0]?.spans ?? []);
  if (!shared.some((span) => lengthOf(span) >= SHORTEST_RANGE))
    throw new Refusal("seek/nothing-to-search", `${expected} that all reads know, got none`);
  return images;
}
