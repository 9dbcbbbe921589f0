import { Refusal } from "../../findings/refusal.js";

/** A document without its long texts, as the parser is to see it. */
export interface XmlOutline {
  /** The document; each long text and remark stands in it as a mark of a few characters. */
  readonly text: string;
  /** The 1-based line of each element, in the order in which they open. */
  readonly lines: readonly number[];
  /** A text of the parsed outline as it stands in the document. */
  whole(text: string): string;
  /** The line of the document that a line of the outline begins in; both count from 1. */
  lineOf(line: number): number;
}

const limits = {
  /** Characters of a document: its data may be in it, two or more characters a byte. */
  characters: 256 * 1024 * 1024,
  tags: 200_000,
  depth: 40,
  /** Characters of one tag with its attributes. */
  tag: 16 * 1024,
};

/** The deepest that elements may lie in each other. */
export const XML_DEPTH = limits.depth;

/** Longer texts do not pass through the parser, which takes them character by character. */
const LONG = 256;

/** Stands at both ends of the number of a long text: a character that no standard gives a meaning to. */
const MARK = "\uE000";

/**
 * Walks from tag to tag once, so that nothing that would cost more than its size reaches a parser.
 * @throws Refusal when `text` is larger or deeper than any container, holds a document type, or a tag does not end
 */
export function xmlOutline(text: string): XmlOutline {
  if (text.length > limits.characters) throw tooLarge(`at most ${limits.characters} characters`, text.length, 0);
  const kept: string[] = [];
  const long: string[] = [];
  const lines: number[] = [];
  const shorten = (content: string): string => {
    if (content.length <= LONG && !content.includes(MARK)) return content;
    long.push(content);
    return `${MARK}${long.length - 1}${MARK}`;
  };
  const counter = new LineCounter(text);
  let depth = 0;
  let tags = 0;
  let at = 0;
  for (;;) {
    const start = text.indexOf("<", at);
    const before = text.slice(at, start < 0 ? text.length : start);
    const bare = before.search(/&(?!#?\w{1,32};)/);
    if (bare >= 0) throw syntax(counter.lineAt(at + bare), "an ampersand that begins no entity");
    kept.push(shorten(before));
    if (start < 0) break;
    const { end, kind } = markupAt(text, start, counter);
    const markup = text.slice(start, end);
    if (kind === "section") kept.push(`<![CDATA[${shorten(markup.slice(9, -3))}]]>`);
    else if (kind === "remark") kept.push(`<!--${shorten(markup.slice(4, -3))}-->`);
    else {
      if (++tags > limits.tags) throw tooLarge(`at most ${limits.tags} tags`, "more", start);
      if (markup.length > limits.tag) {
        throw tooLarge(`tags of at most ${limits.tag} characters`, markup.length, start);
      }
      if (markup.startsWith("</")) depth--;
      else if (kind === "tag") {
        lines.push(counter.lineAt(start));
        if (!markup.endsWith("/>")) depth++;
      }
      if (depth > limits.depth) throw tooLarge(`at most ${limits.depth} levels`, "more", start);
      kept.push(markup);
    }
    at = end;
  }
  const marked = new RegExp(`${MARK}(\\d+)${MARK}`, "g");
  const outline = kept.join("");
  const whole = (part: string) =>
    part.includes(MARK) ? part.replace(marked, (_, index) => long[Number(index)] ?? "") : part;
  return {
    text: outline,
    lines,
    whole,
    lineOf: (line) => whole(outline.split("\n", line - 1).join("\n")).split("\n").length + (line > 1 ? 1 : 0),
  };
}

type Kind = "tag" | "instruction" | "remark" | "section";

const kinds: readonly (readonly [start: string, end: string, kind: Kind])[] = [
  ["<!--", "-->", "remark"],
  ["<![CDATA[", "]]>", "section"],
  ["<?", "?>", "instruction"],
];

/** The tag, comment, data section or instruction at `at`, up to one past its end. */
function markupAt(text: string, at: number, counter: LineCounter): { readonly end: number; readonly kind: Kind } {
  const [start, end, kind] = kinds.find(([mark]) => text.startsWith(mark, at)) ?? ["<", ">", "tag"];
  if (kind === "tag" && text.charAt(at + 1) === "!") {
    throw new Refusal("xml/document-type", "document: expected no document type and no entities, got one", {
      offset: at,
      line: counter.lineAt(at),
    });
  }
  const found = text.indexOf(end, at + start.length);
  if (found < 0) throw syntax(counter.lineAt(at), "a tag or a remark without an end");
  return { end: found + end.length, kind };
}

/** Counts lines on the way through a text; asked for places in their order. */
class LineCounter {
  #line = 1;
  #next: number;

  constructor(readonly text: string) {
    this.#next = text.indexOf("\n");
  }

  lineAt(at: number): number {
    while (this.#next >= 0 && this.#next < at) {
      this.#line++;
      this.#next = this.text.indexOf("\n", this.#next + 1);
    }
    return this.#line;
  }
}

function syntax(line: number, got: string): Refusal {
  return new Refusal("xml/syntax", `line ${line}: expected well-formed XML, got ${got}`, { line });
}

function tooLarge(expected: string, got: string | number, offset: number): Refusal {
  return new Refusal("xml/too-large", `document: expected ${expected}, got ${got}`, { offset });
}
