import { escapeForTerminal } from "../terminal/escape.js";

/**
 * The same value with every string in it escaped, names of properties too. Done before anything is measured or wrapped:
 * an escape takes more room than what it stands for.
 */
export function safe<Value>(value: Value): Value {
  return safeValue(value) as Value;
}

function safeValue(value: unknown): unknown {
  if (typeof value === "string") return escapeForTerminal(value);
  if (Array.isArray(value)) return value.map(safeValue);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, held]) => [escapeForTerminal(name), safeValue(held)]));
}
