import { InvalidArgumentError, Option } from "commander";
import { parseQuantity } from "./quantity.js";

/** The options that several commands share, as they come out of the command line. */
export interface CommonOptions {
  readonly profile?: string;
  readonly job?: string;
  readonly side?: string;
  readonly base?: number;
  readonly json?: boolean;
  readonly quiet?: boolean;
  readonly colour: boolean;
  readonly private?: boolean;
  readonly force?: boolean;
  readonly out?: string;
  readonly maxSize?: number;
}

/** An argument as an address: 0 to 2**32. */
export function address(text: string): number {
  return quantity(text);
}

/** An argument as a number of bytes, at least one. */
export function size(text: string): number {
  const bytes = quantity(text);
  if (bytes === 0) throw new InvalidArgumentError("expected at least 1 byte, got 0");
  return bytes;
}

function quantity(text: string): number {
  const { value, problem } = parseQuantity(text);
  if (value === undefined) throw new InvalidArgumentError(problem);
  return value;
}

/** Each shared option by name; a command takes those that mean something to it. */
export const sharedOptions = {
  profile: () => new Option("--profile <file>", "what is known of this family of units"),
  job: () => new Option("--job <file>", "what is known of this machine and its units"),
  side: () => new Option("--side <name>", "the side that the unit is on"),
  base: () => new Option("--base <address>", "where a raw image begins").argParser(address),
  json: () => new Option("--json", "one JSON document on standard output"),
  quiet: () => new Option("--quiet", "the verdict only"),
  colour: () => new Option("--no-colour", "no colour, as with NO_COLOR"),
  color: () => new Option("--no-color").hideHelp(),
  private: () => new Option("--private", "mask machine and serial numbers"),
  out: (what: string) => new Option("--out <file>", what),
  force: () => new Option("--force", "replace a file that is there already"),
  maxSize: () => new Option("--max-size <bytes>", "largest file to read").argParser(size).default(undefined, "256M"),
} as const;
