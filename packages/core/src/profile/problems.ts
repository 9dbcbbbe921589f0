import type * as z from "zod";
import type { Problem } from "./check/problem.js";

/** The problems of a document that does not have its shape, in the words of its own text: place, expected, got. */
export function problemsOf(error: z.ZodError, document: unknown): Problem[] {
  return error.issues.flatMap((issue) => problemsOfIssue(issue, [], document));
}

type Issue = z.core.$ZodIssue;

function problemsOfIssue(issue: Issue, above: readonly PropertyKey[], document: unknown): Problem[] {
  const path = [...above, ...issue.path];
  // Of several shapes that a value might have had, the one that went furthest is the one that was meant.
  if (issue.code === "invalid_union" && issue.errors.length > 0) {
    const alternatives = issue.errors.map((issues) =>
      issues.flatMap((inner) => problemsOfIssue(inner as Issue, path, document)),
    );
    const depth = (problems: readonly Problem[]) => Math.max(...problems.map((problem) => problem.path.length));
    const best = alternatives.reduce((a, b) => (depth(b) > depth(a) ? b : a));
    const here = pathText(path);
    if (best.some((problem) => problem.path !== here)) return best;
    const named = best.find((problem) => problem.message.startsWith("expected"));
    return [{ path: here, message: named?.message ?? `expected another shape, got ${gist(valueAt(document, path))}` }];
  }
  const message = issue.message.startsWith("expected")
    ? issue.message
    : `${issue.message.charAt(0).toLowerCase()}${issue.message.slice(1)}`;
  const got = message.includes(", got ") ? "" : `, got ${gist(valueAt(document, path))}`;
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => ({ path: pathText([...path, key]), message: "expected no such key, got it" }));
  }
  return [{ path: pathText(path), message: `${message}${got}` }];
}

function valueAt(document: unknown, path: readonly PropertyKey[]): unknown {
  let value = document;
  for (const key of path) {
    if (typeof value !== "object" || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}

/** `regions[2].over[0].start` */
export function pathText(path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (text, key) => (typeof key === "number" ? `${text}[${key}]` : text === "" ? String(key) : `${text}.${String(key)}`),
    "",
  );
}

/** A few characters that tell a reader which value is meant. */
function gist(value: unknown): string {
  if (value === undefined) return "nothing";
  const text = JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
