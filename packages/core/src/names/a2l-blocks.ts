import { Refusal } from "../findings/refusal.js";
import { type A2lToken, a2lTokens } from "./a2l-tokens.js";

/** A block between /begin and /end: its keyword, its words in their order, and the blocks inside it that are of use. */
export interface A2lBlock {
  readonly keyword: string;
  readonly line: number;
  readonly tokens: readonly A2lToken[];
  readonly blocks: readonly A2lBlock[];
}

/** What the blocks of a description are read for. */
export interface A2lVisitor {
  /** Blocks that are handed over whole, with those inside them that are in `parts`. */
  readonly wanted: ReadonlySet<string>;
  readonly parts: ReadonlySet<string>;
  /** Blocks that are walked into and not kept. */
  readonly around: ReadonlySet<string>;
  take(block: A2lBlock): void;
  /** Is told of a file that the description asks to be read in its place. */
  include(name: string): void;
}

const DEEPEST = 64;

/** Words of one block that is kept. A curve or a map has a few dozen. */
const MOST_WORDS = 10_000;

interface Open {
  readonly keyword: string;
  readonly line: number;
  readonly mode: "keep" | "walk" | "skip";
  readonly tokens: A2lToken[];
  readonly blocks: A2lBlock[];
}

/**
 * Walks through the blocks of `text`. What is not wanted, vendor sections above all, is passed over by its /begin and
 * /end alone, whatever is in it.
 * @throws Refusal when blocks do not close in their order, or nest deeper than any
 */
export function readA2lBlocks(text: string, visitor: A2lVisitor): void {
  const open: Open[] = [];
  const tokens = a2lTokens(text);
  const refusal = (line: number, expected: string, got: string) =>
    new Refusal("names/invalid", `line ${line}: expected ${expected}, got ${got}`, { line });
  for (const token of tokens) {
    const { kind, text: word, line } = token;
    const top = open.at(-1);
    if (kind === "word" && word === "/begin") {
      const next = tokens.next().value;
      if (next?.kind !== "word") throw refusal(line, "a keyword behind /begin", next ? "a string" : "the end");
      if (open.length >= DEEPEST) throw refusal(line, `at most ${DEEPEST} levels`, "more");
      open.push({ keyword: next.text, line, mode: modeOf(next.text, top, visitor), tokens: [], blocks: [] });
    } else if (kind === "word" && word === "/end") {
      const next = tokens.next().value;
      const got = next ? next.text.slice(0, 40) : "the end of the text";
      if (!top) throw refusal(line, "a /begin before each /end", `/end ${got}`);
      if (got !== top.keyword)
        throw refusal(line, `/end ${top.keyword} (its /begin is in line ${top.line})`, `/end ${got}`);
      open.pop();
      close(top, open.at(-1), visitor);
    } else if (kind === "word" && word === "/include") {
      const next = tokens.next().value;
      if (top?.mode !== "skip") visitor.include(next?.text ?? "");
    } else if (top?.mode === "keep") {
      if (top.tokens.length >= MOST_WORDS) throw refusal(line, `at most ${MOST_WORDS} words in ${top.keyword}`, "more");
      top.tokens.push(token);
    }
  }
  const last = open.at(-1);
  if (last) throw refusal(last.line, `an /end ${last.keyword}`, "the end of the text");
}

function modeOf(keyword: string, top: Open | undefined, { wanted, parts, around }: A2lVisitor): Open["mode"] {
  if (top?.mode === "skip") return "skip";
  if (top?.mode === "keep") return parts.has(keyword) ? "keep" : "skip";
  return wanted.has(keyword) ? "keep" : around.has(keyword) ? "walk" : "skip";
}

function close({ mode, ...block }: Open, outer: Open | undefined, visitor: A2lVisitor): void {
  if (mode !== "keep") return;
  if (outer?.mode === "keep") outer.blocks.push(block);
  else visitor.take(block);
}
