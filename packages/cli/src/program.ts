import { Command } from "commander";
import type { ConvertOptions } from "./commands/convert.js";
import type { DonorOptions } from "./commands/donor.js";
import type { DraftWishes } from "./commands/draft.js";
import type { ReadbackOptions } from "./commands/readback.js";
import type { VerifyWishes } from "./commands/record.js";
import type { SeekWishes } from "./commands/seek.js";
import { type CommonOptions, type OptionName, options } from "./options.js";
import { widthOf } from "./terminal/width.js";
import { VERSION } from "./version.js";
import type { World } from "./world.js";

export { CommanderError } from "commander";

/** What the parser has to say to whoever runs it. */
export interface Hearer {
  /** Text of --help and --version, or the help that stands in for a command that was not given. */
  readonly help: (text: string) => void;
  /** The exit code of the command that was carried out. */
  readonly ended: (exitCode: number) => void;
}

/** A command as the parser has to know it. */
interface Declaration {
  readonly usage: string;
  /** The arguments as help shows them, where the parser cannot say it so. */
  readonly shown?: string;
  readonly summary: string;
  /** Shown before everything else: most readers need no more. A test runs each of them. */
  readonly examples: readonly string[];
  readonly options: readonly OptionName[];
  /** Whether its exit code says a verdict. */
  readonly verdict: boolean;
}

const verdictCodes = `
Exit codes:
  0  clear: every check could be made, and held
  1  stop: at least one thing contradicts
  3  review: nothing contradicts, but something could not be established
  2  the command could not be carried out`;

const otherCodes = `
Exit codes: 0 done, 2 could not be carried out`;

const reading = ["from", "session", "base", "layout", "maxSize"] as const;
const colour = ["colour", "color"] as const;
const recording = ["record", "operator", "note"] as const;
const answering = ["json", "quiet", ...colour] as const;

/** Every command with its arguments, options and help. What a command does is loaded when it is run. */
export function programFor(world: World, { help, ended }: Hearer): Command {
  const program = new Command("assay")
    .description("Is this read of a control unit sound, what is it, and do two units agree.")
    .version(VERSION, "--version", "the release of this program")
    .helpOption("--help", "how it is used")
    .helpCommand(false)
    .exitOverride()
    .configureHelp({
      subcommandTerm: (command) => [command.name(), command.usage().replace("[options] ", "")].join(" "),
    })
    .configureOutput({
      writeOut: help,
      writeErr: help,
      outputError: () => {}, // said once, where everything that goes wrong is said
      getOutHelpWidth: () => widthOf(world.environment, world.stdout.columns),
      getErrHelpWidth: () => widthOf(world.environment, world.stderr.columns),
    })
    .addHelpText("before", exampleText(["assay pair port.hex starboard.bin --profile boat.json", "assay pair --help"]))
    .addHelpText("after", verdictCodes);

  declare(program, {
    usage: "check <read...>",
    summary: "Is this a sound read of a unit, and of what? Several reads are held together.",
    examples: [
      "assay check port.hex --profile boat.json",
      "assay check port.hex port-again.bin --profile boat.json --side port",
      "assay check starboard.bin --json",
      "assay check port.hex port-again.bin third.bin --profile boat.json --out v.bin",
      "assay check port.hex --record boat-record.json --operator Ana",
    ],
    options: [
      "profile",
      "job",
      "side",
      ...reading,
      "parts",
      "voted",
      "outTo",
      "force",
      "private",
      ...recording,
      ...answering,
    ],
    verdict: true,
  }).action(async (reads: string[], wishes: CommonOptions) => {
    ended(await (await import("./commands/check.js")).check(world, reads, wishes));
  });

  declare(program, {
    usage: "pair <left> <right>",
    summary: "Do two units of a mirrored pair agree, and differ only where their sides demand?",
    examples: [
      "assay pair port.hex starboard.bin --profile boat.json",
      "assay pair port.hex starboard.bin --profile boat.json --json > pair.json",
      "assay pair port.hex starboard.bin         (without a profile: review at best)",
    ],
    options: ["profile", "job", "names", ...reading, "private", ...recording, ...answering],
    verdict: true,
  }).action(async (left: string, right: string, wishes: CommonOptions) => {
    ended(await (await import("./commands/pair.js")).pair(world, left, right, wishes));
  });

  declare(program, {
    usage: "donor <source> <donor>",
    summary: "Before the write: may a used unit, the donor, be written with what the source holds?",
    examples: [
      "assay donor starboard.bin used.bin --profile boat.json --twin port.hex",
      "assay donor starboard.bin used.bin --profile boat.json --job job.json",
      "assay donor starboard.bin used.bin --profile boat.json --out new.bin",
    ],
    options: [
      "profile",
      "job",
      "slot",
      "twin",
      "out",
      "outTo",
      "force",
      ...reading,
      "private",
      ...recording,
      ...answering,
    ],
    verdict: true,
  }).action(async (source: string, used: string, wishes: DonorOptions) => {
    ended(await (await import("./commands/donor.js")).donor(world, source, used, wishes));
  });

  declare(program, {
    usage: "readback <intended> <read>",
    summary: "After the write: is what is in the unit what was meant?",
    examples: [
      "assay readback port.hex port-again.bin --profile boat.json",
      "assay readback port.hex port-again.bin --profile boat.json --json",
      "assay readback port.hex port-again.bin    (without a profile: review at best)",
    ],
    options: ["profile", "before", "names", ...reading, "private", ...recording, ...answering],
    verdict: true,
  }).action(async (intended: string, read: string, wishes: ReadbackOptions) => {
    ended(await (await import("./commands/readback.js")).readback(world, intended, read, wishes));
  });

  declare(program, {
    usage: "seek <read...>",
    summary: "Which ranges check themselves? Finds checksums that nobody documented.",
    examples: [
      "assay seek port.hex starboard.bin --fill 0xFF",
      "assay seek starboard.bin --json",
      "assay seek starboard.bin --budget 60      (what is found within a minute)",
    ],
    options: [...reading, "fill", "budget", "json", "silent", ...colour],
    verdict: false,
  }).action(async (reads: string[], wishes: SeekWishes) => {
    ended(await (await import("./commands/seek.js")).seek(world, reads, wishes));
  });

  declare(program, {
    usage: "draft [read...]",
    shown: "<read...>",
    summary: "From several reads of one family: what could a profile of it say, and how surely?",
    examples: [
      "assay draft port.hex starboard.bin --fill 0xFF --out family.json",
      "assay draft --pair port.hex starboard.bin --fill 0xFF --json",
      "assay draft --pair port.hex starboard.bin --profile boat.json",
    ],
    options: ["pairs", "same", "old", "drafted", "force", ...reading, "fill", "budget", "json", "silent", ...colour],
    verdict: false,
  }).action(async (reads: string[], wishes: DraftWishes) => {
    ended(await (await import("./commands/draft.js")).draft(world, reads, wishes));
  });

  declare(program, {
    usage: "convert <in...>",
    shown: "<in> <out>",
    summary: "Writes the image of a file in another format.",
    examples: [
      "assay convert port.hex port.bin --fill 0xFF --cover 0..256K",
      "assay convert starboard.bin starboard.s19 --base 0x8000",
      "assay convert - - --to intel-hex < starboard.bin > starboard.hex",
      "assay convert starboard.bin swapped.bin --layout swap-16",
      "assay convert even.bin odd.bin whole.bin --parts interleaved",
    ],
    options: [
      ...([
        "from",
        "session",
        "to",
        "base",
        "layout",
        "parts",
        "fill",
        "cover",
        "recordLength",
        "start",
        "header",
        "crlf",
        "maxSize",
        "force",
      ] as const),
      "json",
      "silent",
      ...colour,
    ],
    verdict: false,
  }).action(async (paths: string[], wishes: ConvertOptions) => {
    ended(await (await import("./commands/convert.js")).convert(world, paths, wishes));
  });

  declare(program, {
    usage: "explain [code]",
    summary: "What a finding means and what to do; without a code, which there are.",
    examples: ["assay explain pair/same-side", "assay explain"],
    options: ["json", ...colour],
    verdict: false,
  }).action(async (code: string | undefined, wishes: CommonOptions) => {
    ended(await (await import("./commands/explain.js")).explain(world, code, wishes));
  });

  const profile = program
    .command("profile")
    .description("Looks at what is known of a family of units.")
    .helpCommand(false);
  profile.addHelpText("before", exampleText(["assay profile check boat.json", "assay profile show boat.json"]));
  declare(profile, {
    usage: "check <file>",
    summary: "Does the profile hold together? Says all that is wrong, with the line.",
    examples: ["assay profile check boat.json", "assay profile check boat.json --json"],
    options: ["session", "json", ...colour],
    verdict: false,
  }).action(async (path: string, wishes: CommonOptions) => {
    ended(await (await import("./commands/profile.js")).profileCheck(world, path, wishes));
  });
  declare(profile, {
    usage: "schema",
    summary: "The JSON Schema of profiles, for editors and other programs.",
    examples: ["assay profile schema", "assay profile schema > profile.schema.json"],
    options: [],
    verdict: false,
  }).action(async () => {
    ended(await (await import("./commands/profile.js")).profileSchema(world));
  });
  declare(profile, {
    usage: "show <file> [read]",
    summary: "Pictures the regions, fields and checksums of a profile; with a read, as they lie in it.",
    examples: ["assay profile show boat.json", "assay profile show boat.json port.hex"],
    options: [...reading, "json", "colour", "color"],
    verdict: false,
  }).action(async (path: string, read: string | undefined, wishes: CommonOptions) => {
    ended(await (await import("./commands/profile.js")).profileShow(world, path, read, wishes));
  });

  const record = program.command("record").description("Looks at the record that --record writes.").helpCommand(false);
  record.addHelpText(
    "before",
    exampleText(["assay record show boat-record.json", "assay record verify boat-record.json"]),
  );
  declare(record, {
    usage: "show <file>",
    summary: "What was done: every run with its inputs, verdict, findings and digest.",
    examples: ["assay record show boat-record.json", "assay record show boat-record.json --json"],
    options: ["json", ...colour],
    verdict: true,
  }).action(async (path: string, wishes: CommonOptions) => {
    ended(await (await import("./commands/record.js")).recordShow(world, path, wishes));
  });
  declare(record, {
    usage: "verify <file>",
    summary: "Was the record changed since it was written?",
    examples: ["assay record verify boat-record.json", "assay record verify boat-record.json --quiet"],
    options: ["expect", ...answering],
    verdict: true,
  }).action(async (path: string, wishes: VerifyWishes) => {
    ended(await (await import("./commands/record.js")).recordVerify(world, path, wishes));
  });

  // Whatever command takes --record: a run that could not be recorded is not begun.
  program.hook("preAction", async (_program, command) => {
    const wishes = command.opts<CommonOptions>();
    if (recording.some((name) => wishes[name] !== undefined)) {
      await (await import("./record.js")).expectRecord(world, wishes);
    }
  });

  return program;
}

function declare(parent: Command, { usage, shown, summary, examples, options: names, verdict }: Declaration): Command {
  const command = parent.command(usage).description(summary).addHelpText("before", exampleText(examples));
  if (shown !== undefined) command.usage(`[options] ${shown}`);
  for (const option of options(...names)) command.addOption(option);
  return command.addHelpText("after", verdict ? verdictCodes : otherCodes);
}

function exampleText(lines: readonly string[]): string {
  return `Examples:\n${lines.map((line) => `  ${line}\n`).join("")}`;
}
