import { CommanderError } from "commander";
import { COULD_NOT, DONE } from "./exit-code.js";
import { errorDocument, failureText, usageRefusal } from "./failure.js";
import { printJson, printText } from "./output.js";
import { programFor } from "./program.js";
import { wantsColour } from "./terminal/colour.js";
import { painter } from "./terminal/paint.js";
import type { World } from "./world.js";

/**
 * Carries out what `args` ask for and gives the exit code. Nothing is thrown from here: whatever goes wrong is said on
 * standard error, with --json as a document on standard output too, and gives the code for "could not".
 */
export async function main(args: readonly string[], world: World): Promise<number> {
  try {
    return await run(args, world);
  } catch (failure) {
    await tell(args, world, failure);
    return COULD_NOT;
  }
}

async function run(args: readonly string[], world: World): Promise<number> {
  let help = "";
  let code = DONE;
  const program = programFor(world, {
    help: (text) => {
      help += text;
    },
    ended: (exitCode) => {
      code = exitCode;
    },
  });
  try {
    await program.parseAsync(args, { from: "user" });
  } catch (failure) {
    if (!(failure instanceof CommanderError)) throw failure;
    if (failure.exitCode !== 0) {
      await world.stderr.write(help);
      throw usageRefusal(failure);
    }
    await printText(world, help);
  }
  return code;
}

/** Says why it could not be done. What cannot even be said is let go: the exit code says the rest. */
async function tell(args: readonly string[], world: World, failure: unknown): Promise<void> {
  const { stderr, environment } = world;
  const options = args.slice(0, args.includes("--") ? args.indexOf("--") : undefined);
  const refused = options.includes("--no-colour") || options.includes("--no-color");
  const paint = painter(wantsColour({ refused, environment, isTerminal: stderr.isTerminal }));
  const document = errorDocument(failure);
  try {
    await stderr.write(paint([[{ text: "assay:", style: "stop" }, ` ${failureText(document)}`]]));
    if (options.includes("--json")) await printJson(world, document);
  } catch {
    // Nobody is there to read it.
  }
}
