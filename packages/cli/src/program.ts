import { Command } from "commander";
import { type CommonOptions, sharedOptions } from "./options.js";
import { widthOf } from "./terminal/width.js";
import { VERSION } from "./version.js";
import type { World } from "./world.js";

/** What the parser has to say to whoever runs it. */
export interface Hearer {
  /** Text of --help and --version, or the help that stands in for a command that was not given. */
  readonly help: (text: string) => void;
  /** The exit code of the command that was carried out. */
  readonly ended: (exitCode: number) => void;
}

const exitCodeTable = `
Exit codes:
  0  clear: every check could be made, and held; or done, where there is no verdict
  1  stop: at least one thing contradicts
  3  review: nothing contradicts, but something could not be established
  2  the command could not be carried out`;

/** Every command with its arguments, options and help. What a command does is loaded when it is run. */
export function programFor(world: World, { help, ended }: Hearer): Command {
  const program = new Command("assay")
    .description("Is this read of a control unit sound, what is it, and do two units agree.")
    .version(VERSION, "--version", "the release of this program")
    .helpOption("--help", "how it is used")
    .helpCommand(false)
    .exitOverride()
    .configureOutput({
      writeOut: help,
      writeErr: help,
      outputError: () => {}, // said once, where everything that goes wrong is said
      getOutHelpWidth: () => widthOf(world.environment, world.stdout.columns),
      getErrHelpWidth: () => widthOf(world.environment, world.stderr.columns),
    })
    .addHelpText("after", exitCodeTable);

  withExamples(program.command("explain [code]").description("what a finding means and what to do"), [
    "assay explain pair/same-side",
    "assay explain                       (lists the codes of all findings)",
  ])
    .addOption(sharedOptions.json())
    .addOption(sharedOptions.colour())
    .addOption(sharedOptions.color())
    .action(async (code: string | undefined, options: CommonOptions) => {
      ended(await (await import("./commands/explain.js")).explain(world, code, options));
    });

  return program;
}

/** Examples first: most readers need no more. */
function withExamples(command: Command, examples: readonly string[]): Command {
  return command.addHelpText("before", `Examples:\n${examples.map((line) => `  ${line}\n`).join("")}`);
}
