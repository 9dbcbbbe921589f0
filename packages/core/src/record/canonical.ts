import { Refusal } from "../findings/refusal.js";

/** One spelling for one value: what a digest is taken over. */

const deepest = 24;
const loneSurrogate = /\p{Surrogate}/u;

/**
 * `value` as JSON in the one spelling that RFC 8785 gives it: keys sorted by their UTF-16 code units, no blanks, only
 * the escapes that must be. Numbers are whole, so that every language writes them alike.
 * @throws Refusal for what has no such spelling: other numbers, lone surrogates, a key `__proto__`, more than 24 levels,
 * anything that is no JSON
 */
export function canonicalJson(value: unknown, path = ""): string {
  return spell(value, path, 0);
}

function spell(value: unknown, path: string, depth: number): string {
  const refuse = (expected: string, got: string): never => {
    throw new Refusal("record/value", `${path || "value"}: expected ${expected}, got ${got}`, { path });
  };
  if (depth > deepest) refuse(`at most ${deepest} levels`, "more");
  if (value === null || typeof value === "boolean") return String(value);
  if (typeof value === "number") {
    if (!Number.isSafeInteger(value)) refuse("a whole number of at most 53 bits", String(value));
    return String(value === 0 ? 0 : value);
  }
  if (typeof value === "string") {
    if (loneSurrogate.test(value)) refuse("whole characters", "half of a surrogate pair");
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map((one, i) => spell(one, `${path}[${i}]`, depth + 1)).join(",")}]`;
  if (typeof value !== "object") return refuse("a value of JSON", typeof value);
  const held = value as Readonly<Record<string, unknown>>;
  if (Object.hasOwn(held, "__proto__")) refuse("another key", "__proto__");
  // The default order of sort() is that of UTF-16 code units.
  const members = Object.keys(held).sort();
  return `{${members
    .filter((key) => held[key] !== undefined)
    .map((key) => `${spell(key, path, depth)}:${spell(held[key], path ? `${path}.${key}` : key, depth + 1)}`)
    .join(",")}}`;
}
