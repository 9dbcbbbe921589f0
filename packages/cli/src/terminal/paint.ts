import picocolors from "picocolors";
import { escapeForTerminal } from "./escape.js";

/** What a piece of text is; a terminal with colour shows it, and the words say it everywhere. */
export type Style = "plain" | "strong" | "faint" | "stop" | "review" | "clear";

export interface Piece {
  readonly text: string;
  readonly style: Style;
}

/** One line: text, or pieces of it side by side. */
export type Line = string | readonly (string | Piece)[];

export type Painter = (lines: readonly Line[]) => string;

/**
 * The one way from lines to a terminal: everything in them is escaped, so the only control characters that come out
 * are the line feeds and the colours put on here. Orange and blue are told apart by nearly everybody; green and red are
 * not.
 */
export function painter(colour: boolean): Painter {
  const { bold, dim, yellow, cyan } = picocolors.createColors(colour);
  const styles: Readonly<Record<Style, (text: string) => string>> = {
    plain: (text) => text,
    strong: bold,
    faint: dim,
    stop: (text) => bold(yellow(text)),
    review: yellow,
    clear: (text) => bold(cyan(text)),
  };
  const paint = (piece: string | Piece) =>
    typeof piece === "string" ? escapeForTerminal(piece) : styles[piece.style](escapeForTerminal(piece.text));
  const paintLine = (line: Line) => (typeof line === "string" ? escapeForTerminal(line) : line.map(paint).join(""));
  return (lines) => lines.map((line) => `${paintLine(line).trimEnd()}\n`).join("");
}
