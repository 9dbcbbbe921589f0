import type { A2lToken } from "./a2l-tokens.js";

/** The number that a word states: decimal, 0x hexadecimal, negative or with a fraction; undefined when it states none. */
export function numberIn(token: A2lToken | undefined): number | undefined {
  if (token?.kind !== "word") return undefined;
  const { text } = token;
  if (/^[+-]?0[xX][0-9a-fA-F]{1,16}$/.test(text)) {
    return text.startsWith("-") ? -Number(text.slice(1)) : Number(text.replace("+", ""));
  }
  return /^[+-]?([0-9]{1,20}(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?$/.test(text) ? Number(text) : undefined;
}

/** The whole number from 0 to `most` that a word states, or undefined. */
export function countIn(token: A2lToken | undefined, most: number): number | undefined {
  const value = numberIn(token);
  return value !== undefined && Number.isInteger(value) && value >= 0 && value <= most ? value : undefined;
}

/** The words behind the word `keyword`, as many as `count`; undefined when it is not there. */
export function behind(tokens: readonly A2lToken[], keyword: string, count: number): readonly A2lToken[] | undefined {
  const at = tokens.findIndex(({ kind, text }) => kind === "word" && text === keyword);
  return at < 0 ? undefined : tokens.slice(at + 1, at + 1 + count);
}
