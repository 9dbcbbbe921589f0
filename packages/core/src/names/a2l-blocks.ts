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
  /**
   * The text of a file that the description asks to be read in its place, by its path from the folder of the
   * description, parts between slashes; undefined when it is not at hand.
   */
  include(path: string): string | undefined;
}

const DEEPEST = 64;

/** Files that are read inside of each other, and all of them; a file may be asked for many times. */
const DEEPEST_INCLUDE = 16;
const MOST_INCLUDES = 1000;

/** Characters of a description with all that is read in its place. */
const MOST_CHARACTERS = 2 ** 28;

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
  const tokens = new TokenSource(text);
  const refusal = (line: number, expected: string, got: string) => tokens.refusal(line, expected, got);
  for (let token = tokens.next(); token; token = tokens.next()) {
    const { kind, text: word, line } = token;
    const top = open.at(-1);
    if (kind === "word" && word === "/begin") {
      const next = tokens.next();
      if (next?.kind !== "word") throw refusal(line, "a keyword behind /begin", next ? "a string" : "the end");
      if (open.length >= DEEPEST) throw refusal(line, `at most ${DEEPEST} levels`, "more");
      open.push({ keyword: next.text, line, mode: modeOf(next.text, top, visitor), tokens: [], blocks: [] });
    } else if (kind === "word" && word === "/end") {
      const next = tokens.next();
      const got = next ? next.text.slice(0, 40) : "the end of the text";
      if (!top) throw refusal(line, "a /begin before each /end", `/end ${got}`);
      if (got !== top.keyword)
        throw refusal(line, `/end ${top.keyword} (its /begin is in line ${top.line})`, `/end ${got}`);
      open.pop();
      close(top, open.at(-1), visitor);
    } else if (kind === "word" && word === "/include") {
      const next = tokens.next();
      if (top?.mode === "skip") continue; // in a vendor's section, and for it
      const path = tokens.pathOf(next?.text ?? "");
      const included = visitor.include(path);
      if (included !== undefined) tokens.open(path, included);
    } else if (top?.mode === "keep") {
      if (top.tokens.length >= MOST_WORDS) throw refusal(line, `at most ${MOST_WORDS} words in ${top.keyword}`, "more");
      top.tokens.push(token);
    }
  }
  const last = open.at(-1);
  if (last) throw refusal(last.line, `an /end ${last.keyword}`, "the end of the text");
}

/** The words of a text, and in their places those of the files that it includes. */
class TokenSource {
  readonly #open: { readonly path: string | undefined; readonly tokens: Iterator<A2lToken, void> }[] = [];
  #included = 0;
  #characters: number;

  constructor(text: string) {
    this.#characters = text.length;
    this.#open.push({ path: undefined, tokens: a2lTokens(text) });
  }

  next(): A2lToken | undefined {
    for (let top = this.#open.at(-1); top; top = this.#open.at(-1)) {
      const { value } = this.#inFile(() => top.tokens.next());
      if (value) return value;
      if (this.#open.length === 1) return undefined;
      this.#open.pop();
    }
    return undefined;
  }

  /** The path of `name`, as a file says it that itself has a path. */
  pathOf(name: string): string {
    const { path } = this.#open.at(-1) ?? {};
    return path === undefined ? name : `${path.slice(0, path.lastIndexOf("/") + 1)}${name}`;
  }

  open(path: string, text: string): void {
    this.#characters += text.length;
    this.#included++;
    if (this.#open.length > DEEPEST_INCLUDE)
      throw this.refusal(1, `files of at most ${DEEPEST_INCLUDE} levels`, "more");
    if (this.#included > MOST_INCLUDES) throw this.refusal(1, `at most ${MOST_INCLUDES} files`, "more");
    if (this.#characters > MOST_CHARACTERS) throw this.refusal(1, `at most ${MOST_CHARACTERS} characters`, "more");
    this.#open.push({ path, tokens: a2lTokens(text) });
  }

  refusal(line: number, expected: string, got: string): Refusal {
    return this.#placed(new Refusal("names/invalid", `line ${line}: expected ${expected}, got ${got}`, { line }));
  }

  #inFile<Value>(work: () => Value): Value {
    try {
      return work();
    } catch (error) {
      throw error instanceof Refusal ? this.#placed(error) : error;
    }
  }

  /** A refusal of what stands in an included file says in which. */
  #placed(refusal: Refusal): Refusal {
    const { path } = this.#open.at(-1) ?? {};
    return path === undefined ? refusal : new Refusal(refusal.code, `${path}, ${refusal.message}`, { path });
  }
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
