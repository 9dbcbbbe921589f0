import { type ErrorDocument, Refusal } from "@assay/core";
import type { CommanderError } from "commander";
import { withOptions } from "./render/options-for.js";

/** A usage error of the argument parser, in the words of this program. */
export function usageRefusal({ code, message }: CommanderError): Refusal {
  if (code === "commander.help") return new Refusal("usage/no-command", "expected a command, got none");
  const said = message
    .replace(/^error: /, "")
    .replaceAll("\n", " ")
    .replace(/^option '(--[a-z-]+)[^']*' argument '.*' is invalid\. (?=expected)/, "$1: ")
    .replace(
      /^option '(--[a-z-]+)[^']*' argument '(.*)' is invalid\. Allowed choices are (.*)\.$/,
      "$1: expected $3, got $2",
    )
    .replace(/^option '(--[a-z-]+) (<.*>)' argument missing$/, "$1: expected $2, got nothing")
    .replace(/^missing required argument '(.*)'$/, "expected <$1>, got nothing");
  return new Refusal("usage/not-understood", said);
}

/** Why a command could not be carried out, as the document that scripts read. */
export function errorDocument(failure: unknown): ErrorDocument {
  if (failure instanceof Refusal) {
    return { schema: "assay.error/1", error: { code: failure.code, message: failure.message, ...failure.place } };
  }
  const message = failure instanceof Error ? `${failure.name}: ${failure.message}` : String(failure);
  return { schema: "assay.error/1", error: { code: "program/fault", message: `a fault of this program: ${message}` } };
}

/** The same in one line for people: where, what, and the code in brackets. */
export function failureText({ error }: ErrorDocument): string {
  const { code, message, file, line, offset, path } = error;
  const where = [
    file === "-" ? "standard input or output" : file,
    line === undefined ? undefined : `line ${line}`,
    offset === undefined ? undefined : `offset ${offset}`,
    path || undefined,
  ].filter((part) => part !== undefined);
  // A message that begins with one of these, for whoever catches it alone, does not say it twice.
  const said = where.find((part) => message.startsWith(`${part}: `));
  const rest = said === undefined ? message : message.slice(said.length + 2);
  return `${where.length > 0 ? `${where.join(", ")}: ` : ""}${withOptions(code, rest)} (${code})`;
}
