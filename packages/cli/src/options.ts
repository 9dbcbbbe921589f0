import { InvalidArgumentError, Option } from "commander";
import { parseQuantity, parseRange } from "./quantity.js";

/** The options that several commands share, as they come out of the command line. */
export interface CommonOptions {
  readonly profile?: string;
  readonly job?: string;
  readonly side?: string;
  readonly from?: FormatChoice;
  readonly session?: string;
  readonly names?: string;
  readonly base?: number;
  readonly layout?: LayoutName;
  readonly parts?: PartsName;
  readonly json?: boolean;
  readonly quiet?: boolean;
  readonly colour?: boolean;
  readonly color?: boolean;
  readonly private?: boolean;
  readonly force?: boolean;
  readonly out?: string;
  readonly to?: WrittenFormat;
  readonly maxSize?: number;
  readonly budget?: number;
  readonly record?: string;
  readonly operator?: string;
  readonly note?: string;
}

/** A parser of an option's argument: a whole number from `least` to `most`, written as addresses are. */
function number(least: number, most: number): (text: string) => number {
  return (text) => {
    const { value, problem } = parseQuantity(text);
    if (value === undefined) throw new InvalidArgumentError(problem);
    if (value < least || value > most) {
      throw new InvalidArgumentError(`expected ${least} to ${most}, got ${text}`);
    }
    return value;
  };
}

/** A parser of an option's argument: addresses from a start to before an end. */
function range(text: string): { readonly start: number; readonly end: number } {
  const { value, problem } = parseRange(text);
  if (value === undefined) throw new InvalidArgumentError(problem);
  return value;
}

/** How the bytes of a raw file can lie; a test holds the list to the core's own. */
export const layouts = ["as-is", "swap-16", "swap-32", "swap-halves-32"] as const;
/** The formats of files, first those that are written too; a test holds the lists to the core's own. */
export const writtenFormats = ["raw", "intel-hex", "s-record", "ti-txt", "tektronix-hex"] as const;
export const formats = [...writtenFormats, "elf", "uf2", "dfu"] as const;

/** How part files make one read. */
export const partsNames = ["interleaved", "interleaved-16", "joined"] as const;

export type PartsName = (typeof partsNames)[number];
export type WrittenFormat = (typeof writtenFormats)[number];
export type FormatChoice = (typeof formats)[number];
export type LayoutName = (typeof layouts)[number];

const make = {
  profile: () => new Option("--profile <file>", "what is known of this family of units"),
  job: () => new Option("--job <file>", "what is known of this machine and its units"),
  side: () => new Option("--side <name>", "the side that the unit is on"),
  base: () => new Option("--base <address>", "where a raw file begins").argParser(number(0, 2 ** 32 - 1)),
  layout: () => new Option("--layout <name>", "how the bytes of each file lie").choices(layouts),
  parts: () => new Option("--parts <how>", "the files are the parts of one read").choices(partsNames),
  twin: () => new Option("--twin <file>", "read of the machine's other unit, which is to be mirrored"),
  slot: () => new Option("--side <name>", "the side that the unit is to work on"),
  before: () => new Option("--before <file>", "what the unit held before the write"),
  out: () => new Option("--out <file>", "write the composed image, unless the verdict is stop"),
  voted: () => new Option("--out <file>", "write the image that three or more reads vote for"),
  json: () => new Option("--json", "one JSON document on standard output"),
  quiet: () => new Option("--quiet", "the verdict only"),
  silent: () => new Option("--quiet", "errors only"),
  private: () => new Option("--private", "mask machine and serial numbers"),
  force: () => new Option("--force", "replace a file that is there already"),
  maxSize: () =>
    new Option("--max-size <bytes>", "largest file to read (default: 256M)").argParser(number(1, 2 ** 32 - 1)),
  budget: () =>
    new Option("--budget <seconds>", "stop after this time with what there is").argParser(number(1, 86_400)),
  record: () => new Option("--record <file>", "enter the run in this record"),
  operator: () => new Option("--operator <name>", "who runs it, for the record"),
  note: () => new Option("--note <text>", "what else the record is to say"),
  expect: () => new Option("--expect <digest>", "digest of an entry as a report printed it"),
  colour: () => new Option("--no-colour", "no colour, as with NO_COLOR"),
  color: () => new Option("--no-color").hideHelp(),
  names: () => new Option("--names <file>", "a measurement description (.a2l) that names places"),
  session: () => new Option("--session <name>", "which session of a flash container"),
  from: () => new Option("--from <format>", "format to read instead of the one seen").choices(formats),
  to: () => new Option("--to <format>", "format to write; the name of OUT can say it too").choices(writtenFormats),
  outTo: () => new Option("--to <format>", "format of --out; its name can say it too").choices(writtenFormats),
  pairs: () =>
    new Option("--pair <reads...>", "two reads: the left and the right unit of one machine; for each pair again"),
  same: () => new Option("--same <reads...>", "two reads of one unit, the earlier first; for each two again"),
  old: () => new Option("--profile <file>", "a profile to hold against the reads and to add to"),
  drafted: () => new Option("--out <file>", "write the profile"),
  fill: () => new Option("--fill <byte>", "what stands in the holes of a raw file").argParser(number(0, 255)),
  cover: () =>
    new Option("--cover <start..end>", "what a raw file covers: more than the image with --fill").argParser(range),
  recordLength: () =>
    new Option("--record-length <bytes>", "data bytes in a record (default: 32)").argParser(number(1, 255)),
  start: () =>
    new Option("--start <address>", "start address instead of the file's own").argParser(number(0, 2 ** 32 - 1)),
  header: () => new Option("--header <text>", "text of the S0 record instead of the file's own"),
  crlf: () => new Option("--crlf", "end lines with CR LF"),
} as const satisfies Record<string, () => Option>;

export type OptionName = keyof typeof make;

/** The options of those names, made new: what a command does not take it does not know. */
export function options(...names: readonly OptionName[]): Option[] {
  return names.map((name) => make[name]());
}
