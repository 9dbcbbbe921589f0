import type { ErrorDocument, Report } from "@assay/core";
import { escapeJson } from "../terminal/escape.js";

/** Documents of the commands that give no report. */
export interface OtherDocument {
  readonly schema: string;
}

/** A document as it goes to standard output: one JSON value, indented, with nothing in it that moves a cursor. */
export function renderJson(document: Report | ErrorDocument | OtherDocument): string {
  return `${escapeJson(JSON.stringify(document, null, 2))}\n`;
}
