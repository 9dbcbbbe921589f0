import { toUtf8 } from "../bytes/text.js";
import { Refusal } from "../findings/refusal.js";
import type { RefusalCode } from "../findings/refusals.js";

/** Strict JSON for documents that people write: what `JSON.parse` lets pass silently is refused with its line. */

/** How much a document may hold. */
export interface JsonLimits {
  /** Levels of lists and objects inside one another. */
  readonly depth: number;
  /** Characters (UTF-16 code units) of its text. */
  readonly size: number;
  readonly values: number;
}

const usualLimits: JsonLimits = { depth: 32, size: 4 * 1024 * 1024, values: 100_000 };
const literal = /^(?:true|false|null|-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?)$/;

/**
 * The value of `text`, with the path of every member and the line it stands on.
 * @throws Refusal when it is no JSON, a key occurs twice in one object or is `__proto__`, or it is over the limits: as
 * a rule 32 levels, 100 000 values, 4 MiB
 */
export function readJson(
  text: string,
  limits: JsonLimits = usualLimits,
): {
  readonly value: unknown;
  readonly lineOf: (path: string) => number | undefined;
} {
  const body = text.startsWith("\uFEFF") ? text.slice(1) : text;
  if (body.length > limits.size) {
    throw new Refusal("json/too-large", `document: expected at most ${limits.size} characters, got ${body.length}`);
  }
  const lines = scan(body, limits, text.length - body.length);
  try {
    return { value: JSON.parse(body), lineOf: (path) => lines.get(path) };
  } catch (error) {
    throw new Refusal("json/syntax", `document: expected JSON, got: ${(error as Error).message}`);
  }
}

/**
 * Walks the text once: checks what `JSON.parse` does not, and notes the line of every member. `before` are the characters
 * of a mark of the byte order that stand before it.
 */
function scan(text: string, limits: JsonLimits, before: number): Map<string, number> {
  const lines = new Map<string, number>();
  let at = 0;
  let line = 1;
  let values = 0;
  const refuse = (code: RefusalCode, message: string, from = at): never => {
    const bytes = toUtf8("\uFEFF".repeat(before) + text.slice(0, from)).length;
    throw new Refusal(code, message, { line, offset: bytes });
  };
  const blank = () => {
    for (; at < text.length && " \t\r\n".includes(text[at] as string); at++) if (text[at] === "\n") line++;
  };
  const expect = (character: string) => {
    blank();
    if (text[at] !== character) {
      const got = at < text.length ? JSON.stringify(text[at]) : "the end of the text";
      refuse("json/syntax", `line ${line}: expected ${JSON.stringify(character)}, got ${got}`);
    }
    at++;
  };
  const string = (): string => {
    const start = at;
    expect('"');
    while (at < text.length && text[at] !== '"') at += text[at] === "\\" ? 2 : 1;
    expect('"');
    try {
      return JSON.parse(text.slice(start, at).trim());
    } catch {
      return refuse(
        "json/syntax",
        `line ${line}: expected a string, got ${JSON.stringify(text.slice(start, start + 40))}`,
        start,
      );
    }
  };
  const members = (close: string, one: () => void) => {
    at++;
    blank();
    if (text[at] === close) {
      at++;
      return;
    }
    for (;;) {
      one();
      blank();
      if (text[at] === close) break;
      expect(",");
    }
    at++;
  };
  const value = (path: string, depth: number): void => {
    if (depth > limits.depth)
      refuse("json/too-deep", `line ${line}: expected at most ${limits.depth} levels, got more`);
    blank();
    if (++values > limits.values)
      refuse("json/too-large", `line ${line}: expected at most ${limits.values} values, got more`);
    lines.set(path, line);
    if (text[at] === "{") {
      const seen = new Set<string>();
      members("}", () => {
        blank();
        const from = at;
        const key = string();
        if (seen.has(key)) {
          refuse("json/duplicate-key", `line ${line}: expected each key once, got ${JSON.stringify(key)} twice`, from);
        }
        // The one key that JavaScript objects do not simply hold.
        if (key === "__proto__") {
          refuse("json/key", `line ${line}: expected another key, got ${JSON.stringify(key)}`, from);
        }
        seen.add(key);
        expect(":");
        value(path === "" ? key : `${path}.${key}`, depth + 1);
      });
    } else if (text[at] === "[") {
      let index = 0;
      members("]", () => value(`${path}[${index++}]`, depth + 1));
    } else if (text[at] === '"') string();
    else {
      const start = at;
      while (at < text.length && !" \t\r\n,]}".includes(text[at] as string)) at++;
      const word = text.slice(start, at);
      if (!literal.test(word)) {
        const got =
          word !== ""
            ? JSON.stringify(word.slice(0, 40))
            : at < text.length
              ? JSON.stringify(text[at])
              : "the end of the text";
        refuse("json/syntax", `line ${line}: expected a value, got ${got}`, start);
      }
    }
  };
  value("", 0);
  blank();
  if (at < text.length) {
    refuse("json/syntax", `line ${line}: expected the end of the text, got ${JSON.stringify(text.slice(at, at + 40))}`);
  }
  return lines;
}
