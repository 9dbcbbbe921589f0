import { COULD_NOT, DONE } from "./exit-code.js";
import { errorDocument, failureText, usageRefusal } from "./failure.js";
import { printJson, printText, tell } from "./output.js";
import { VERSION } from "./version.js";
import type { World } from "./world.js";

/**
 * Carries out what `args` ask for and gives the exit code. Nothing is thrown from here: whatever goes wrong is said on
 * standard error, with --json as a document on standard output too, and gives the code for "could not".
 */
export async function main(args: readonly string[], world: World): Promise<number> {
  try {
    return await run(args, world);
  } catch (failure) {
    await tellFailure(args, world, failure);
    return COULD_NOT;
  }
}

async function run(args: readonly string[], world: World): Promise<number> {
  if (args.length === 1 && args[0] === "--version") {
    // Asked by scripts before anything else, so it does not wait for the parser.
    await printText(world, `${VERSION}\n`);
    return DONE;
  }
  const { CommanderError, programFor } = await import("./program.js");
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
async function tellFailure(args: readonly string[], world: World, failure: unknown): Promise<void> {
  // The parser may have failed before it came to these, and everything after -- is a name.
  const options = args.slice(0, args.includes("--") ? args.indexOf("--") : undefined);
  const colour = !options.includes("--no-colour") && !options.includes("--no-color");
  const document = errorDocument(failure);
  await tell(world, [[{ text: "assay:", style: "stop" }, ` ${failureText(document)}`]], { colour });
  if (options.includes("--json")) await printJson(world, document).catch(() => {});
}
