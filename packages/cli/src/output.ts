import type { ErrorDocument, Report } from "@assay/core";
import { systemRefusal } from "./files/problem.js";
import { STANDARD_OUTPUT } from "./files/target.js";
import { type OtherDocument, renderJson } from "./render/json.js";
import { wantsColour } from "./terminal/colour.js";
import { type Line, painter } from "./terminal/paint.js";
import { widthOf } from "./terminal/width.js";
import type { World } from "./world.js";

/** How somebody wants to be answered. */
export interface AnswerWishes {
  readonly json?: boolean;
  readonly quiet?: boolean;
  readonly colour?: boolean;
  readonly color?: boolean;
}

/** Text that holds no foreign word, to standard output. */
export async function printText({ stdout }: World, text: string): Promise<void> {
  try {
    await stdout.write(text);
  } catch (error) {
    throw systemRefusal("output/unwritable", STANDARD_OUTPUT, "standard output that can be written", error);
  }
}

/** Lines to standard output, in colour where that is wanted. */
export function print(world: World, lines: readonly Line[], wishes: AnswerWishes): Promise<void> {
  const { stdout, environment } = world;
  const refused = wishes.colour === false || wishes.color === false;
  return printText(world, painter(wantsColour({ refused, environment, isTerminal: stdout.isTerminal }))(lines));
}

/** One JSON document to standard output. */
export function printJson(world: World, document: Report | ErrorDocument | OtherDocument): Promise<void> {
  return printText(world, renderJson(document));
}

/** The columns that standard output is set for. */
export function outputWidth({ stdout, environment }: World): number {
  return widthOf(environment, stdout.columns);
}
