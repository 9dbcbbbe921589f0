import { escapeJson } from "../terminal/escape.js";

/** A document as it goes to standard output: one JSON value, indented, with nothing in it that moves a cursor. */
export function renderJson(document: object): string {
  return `${escapeJson(JSON.stringify(document, null, 2))}\n`;
}
