import stringWidth from "string-width";

const plain = /^[ -~]*$/;

/** The terminal cells that `text` takes: two for a wide character, none for a mark on the one before. */
export function cellsOf(text: string): number {
  return plain.test(text) ? text.length : stringWidth(text);
}

/** `text` filled with blanks to `cells`, on the right unless it is to stand at the right. */
export function padTo(text: string, cells: number, align: "left" | "right" = "left"): string {
  const blanks = " ".repeat(Math.max(0, cells - cellsOf(text)));
  return align === "left" ? text + blanks : blanks + text;
}
