import { hexByte } from "../amounts.js";
import type { Entries } from "../finding.js";
import { type Repeated, seen } from "./text-record.js";

/**
 * What the reader of TI-TXT can say. The format has no checksum: only the width of its lines, its digits and its end
 * speak for it.
 */
export interface TiTxtFacts {
  "ti-txt/digit-wrong": LineLost & { readonly column: number; readonly character: number };
  "ti-txt/address-wrong": LineLost & { readonly text: string };
  "ti-txt/address-overflow": LineLost & { readonly length: number };
  "ti-txt/data-unplaced": LineLost;
  "ti-txt/lines-uneven": Repeated & { readonly width: number; readonly got: number };
  "ti-txt/line-width": { readonly width: number };
  "ti-txt/missing-end": { readonly line: number };
  "ti-txt/text-after-end": Repeated;
}

/** A line that could not be used, and how many good lines after it have no address because of it. */
interface LineLost {
  readonly line: number;
  readonly lines: number;
}

const lost = (lines: number) =>
  lines === 0 ? "" : `; ${lines} ${lines === 1 ? "line" : "lines"} after it could not be placed and were left out`;
const again = "Fetch the file again from where it was made, or read the unit again; do not repair it by hand.";
const shifted =
  "A line says its address by the number of bytes before it. When one is damaged, what follows may lie elsewhere.";

export const tiTxtEntries: Entries<TiTxtFacts> = {
  "ti-txt/digit-wrong": {
    severity: "stop",
    title: "A line holds something else than bytes",
    says: ({ line, column, character, lines }) =>
      `line ${line}, column ${column}: the character ${hexByte(character)} stands where a byte of two hexadecimal digits must be${lost(lines)}`,
    expected: () => "bytes of two hexadecimal digits with blanks between them",
    found: ({ character }) => `the character ${hexByte(character)}`,
    why: shifted,
    next: again,
    since: "0.1.0",
  },
  "ti-txt/address-wrong": {
    severity: "stop",
    title: "A section's address cannot be read",
    says: ({ line, text, lines }) =>
      `line ${line}: the address ${text} is none of 1 to 8 hexadecimal digits${lost(lines)}`,
    expected: () => "1 to 8 hexadecimal digits after @",
    found: ({ text }) => text,
    why: "Where the bytes of the section belong is not known.",
    next: again,
    since: "0.1.0",
  },
  "ti-txt/address-overflow": {
    severity: "stop",
    title: "Data run past the last address",
    says: ({ line, length, lines }) => `line ${line}: ${length} bytes reach past 0xFFFFFFFF${lost(lines)}`,
    expected: () => "data that end at 0xFFFFFFFF or before",
    found: () => "data that go on",
    why: "There is no memory above. The line was left out.",
    next: "Look at the address of the section: it is probably wrong.",
    since: "0.1.0",
  },
  "ti-txt/data-unplaced": {
    severity: "stop",
    title: "Bytes stand before the first address",
    says: ({ line, lines }) => `line ${line} holds bytes, and no address came before it${lost(lines)}`,
    expected: () => "an address (@) before the first byte",
    found: () => "bytes",
    why: "The beginning of the file is missing, and with it where these bytes belong.",
    next: again,
    since: "0.1.0",
  },
  "ti-txt/lines-uneven": {
    severity: "review",
    title: "Lines inside a section have different lengths",
    says: ({ width, got, ...facts }) =>
      `a line that is not the last of its section holds another number of bytes than ${width} (the first: ${got}), ${seen(facts)}`,
    expected: ({ width }) => `${width} bytes in every line but the last of a section`,
    found: ({ got }) => `${got}`,
    why: "A byte that was lost from a line moves everything after it, and nothing else in this format shows it.",
    next: "Compare the file with the one it was made from; have it written again.",
    since: "0.1.0",
  },
  "ti-txt/line-width": {
    severity: "note",
    title: "Lines are not of 16 bytes",
    says: ({ width }) => `the lines hold ${width} bytes; the format is described with 16`,
    why: "All lines are alike, so nothing is in doubt. Stricter programs refuse the file.",
    next: "Nothing, unless a stricter program is to read the file.",
    since: "0.1.0",
  },
  "ti-txt/missing-end": {
    severity: "review",
    title: "The line that ends the file is missing",
    says: ({ line }) => `the file ends after line ${line} without a q`,
    expected: () => "a line with q at the end",
    found: () => "none",
    why: "A file that was cut looks exactly so, and the format has nothing else that would show it.",
    next: "Compare the highest address with the size of the memory, or fetch the file again.",
    since: "0.1.0",
  },
  "ti-txt/text-after-end": {
    severity: "review",
    title: "Something follows the end of the file's content",
    says: (facts) => `text follows the q that ends the content, ${seen(facts)}; it is not part of the image`,
    expected: () => "nothing after q",
    found: ({ count }) => `${count} ${count === 1 ? "line" : "lines"}`,
    why: "A loader stops at the q, other programs read on: the same file is then two different images.",
    next: "Find out whether two files were joined. Split them, and give each on its own.",
    since: "0.1.0",
  },
};
