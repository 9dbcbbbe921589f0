import { systemRefusal } from "./files/problem.js";
import { STANDARD_OUTPUT } from "./files/target.js";
import { renderJson } from "./render/json.js";
import { wantsColour } from "./terminal/colour.js";
import { type Line, type Painter, painter } from "./terminal/paint.js";
import { widthOf } from "./terminal/width.js";
import type { Output, World } from "./world.js";

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
  return printText(world, painterFor(world, world.stdout, wishes)(lines));
}

/** One JSON document to standard output. */
export function printJson(world: World, document: object): Promise<void> {
  return printText(world, renderJson(document));
}

/** Lines to standard error: what is worth knowing and is no answer. Where nobody can read it, it is let go. */
export async function tell(world: World, lines: readonly Line[], wishes: AnswerWishes): Promise<void> {
  if (lines.length === 0) return;
  try {
    await world.stderr.write(painterFor(world, world.stderr, wishes)(lines));
  } catch {
    // The exit code and the answer say the rest.
  }
}

/** The columns that standard output is set for. */
export function outputWidth({ stdout, environment }: World): number {
  return widthOf(environment, stdout.columns);
}

function painterFor({ environment }: World, { isTerminal }: Output, { colour, color }: AnswerWishes): Painter {
  return painter(wantsColour({ refused: colour === false || color === false, environment, isTerminal }));
}
