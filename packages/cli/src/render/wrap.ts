import { cellsOf } from "../terminal/cells.js";

/**
 * `text` as lines of at most `width` cells, broken at blanks. A word that is wider stands on a line of its own and keeps
 * its full length: an address or a digest that was cut would be read as another one.
 */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    if (line === "") line = word;
    else if (cellsOf(line) + 1 + cellsOf(word) <= width) line += ` ${word}`;
    else {
      lines.push(line);
      line = word;
    }
  }
  return [...lines, line];
}

/** `text` wrapped behind `label`, which takes `indent` cells; the lines after the first begin under the text. */
export function hanging(label: string, indent: number, text: string, width: number): string[] {
  const blank = " ".repeat(indent);
  return wrap(text, Math.max(1, width - indent)).map((line, i) => (i === 0 ? label.padEnd(indent) : blank) + line);
}

/** `entries` in lines of at most `width` cells, broken between them; only one that is wider is broken itself. */
export function sideBySide(entries: readonly string[], width: number): string[] {
  const gap = "   ";
  const lines: string[] = [];
  for (const entry of entries) {
    const line = lines.at(-1);
    if (line !== undefined && cellsOf(line) + gap.length + cellsOf(entry) <= width) {
      lines[lines.length - 1] = line + gap + entry;
    } else lines.push(...wrap(entry, width));
  }
  return lines;
}
