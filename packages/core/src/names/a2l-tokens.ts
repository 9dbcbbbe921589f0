import { Refusal } from "../findings/refusal.js";

/** A word or a quoted string of a measurement description, with the line it begins on. */
export interface A2lToken {
  readonly kind: "word" | "string";
  readonly text: string;
  /** 1-based. */
  readonly line: number;
}

/** Characters of one word or string; more is no description. */
const LONGEST = 64 * 1024;

/**
 * The words and strings of `text`, comments left out (ASAM MCD-2 MC, 1.6 and 1.7). In a string a quotation mark is
 * written twice or behind a backslash.
 * @throws Refusal when a string or a comment does not end, or a word is longer than any
 */
export function* a2lTokens(text: string): Generator<A2lToken, void, undefined> {
  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  let line = 1;
  const refuse = (expected: string, got: string): never => {
    throw new Refusal("names/invalid", `line ${line}: expected ${expected}, got ${got}`, { line });
  };
  const countLines = (from: number, to: number) => {
    for (let i = text.indexOf("\n", from); i >= 0 && i < to; i = text.indexOf("\n", i + 1)) line++;
  };
  while (at < text.length) {
    const code = text.charCodeAt(at);
    if (code <= 0x20) {
      if (code === 0x0a) line++;
      at++;
    } else if (code === 0x2f && text.charCodeAt(at + 1) === 0x2a) {
      const end = text.indexOf("*/", at + 2);
      if (end < 0) refuse("an end of each comment", "none");
      countLines(at, end);
      at = end + 2;
    } else if (code === 0x2f && text.charCodeAt(at + 1) === 0x2f) {
      const end = text.indexOf("\n", at);
      at = end < 0 ? text.length : end;
    } else if (code === 0x22) {
      const end = endOfString(text, at);
      if (end < 0) refuse("an end of each string", "none");
      if (end - at > LONGEST) refuse(`strings of at most ${LONGEST} characters`, String(end - at));
      const inside = text.slice(at + 1, end - 1);
      yield { kind: "string", text: inside.replace(/""|\\"/g, '"'), line };
      countLines(at, end);
      at = end;
    } else {
      let end = at + 1;
      while (end < text.length && text.charCodeAt(end) > 0x20 && text.charCodeAt(end) !== 0x22) end++;
      if (end - at > LONGEST) refuse(`words of at most ${LONGEST} characters`, String(end - at));
      yield { kind: "word", text: text.slice(at, end), line };
      at = end;
    }
  }
}

/** One past the quotation mark that ends the string at `at`; -1 when none does. */
function endOfString(text: string, at: number): number {
  for (let i = at + 1; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === 0x5c) i++;
    else if (code === 0x22) {
      if (text.charCodeAt(i + 1) !== 0x22) return i + 1;
      i++;
    }
  }
  return -1;
}
