import type * as z from "zod";
import type { Problem } from "./check/problem.js";

/** The problems of a document that does not have its shape, in the words of its own text: place, expected, got. */
export function problemsOf(error: z.ZodError, document: unknown): Problem[] {
  return error.issues.flatMap((issue) => problemsOfIssue(issue, [], document));
}

type Issue = z.core.$ZodIssue;
type Path = readonly PropertyKey[];

function problemsOfIssue(issue: Issue, above: Path, document: unknown): Problem[] {
  const path = [...above, ...issue.path];
  if (issue.code === "invalid_union") {
    const meant = meantBy(issue, path, document);
    if (meant) return meant.flatMap((inner) => problemsOfIssue(inner, path, document));
  }
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => ({ path: pathText([...path, key]), message: "expected no such key, got it" }));
  }
  if (issue.code === "invalid_key") {
    const inner = issue.issues.map((one) => wordsOf(one as Issue))[0] ?? "expected another key";
    return [{ path: pathText(path), message: `${inner}, got ${gist(String(path.at(-1)))}` }];
  }
  const message = wordsOf(issue);
  const got = message.includes(", got ") ? "" : `, got ${gist(valueAt(document, path))}`;
  return [{ path: pathText(path), message: `${message}${got}` }];
}

/**
 * Of several shapes that a value might have had, what is wrong with the first that it has by its keys and its kind; so
 * what is wrong lies deeper. Undefined when it has none of them: then the choice itself is what there is to say.
 */
function meantBy(issue: Issue, path: Path, document: unknown): Issue[] | undefined {
  if (issue.code !== "invalid_union") return undefined;
  for (const alternative of issue.errors as Issue[][]) {
    const meant: Issue[] = [];
    const fits = alternative.every((inner) => {
      const place = [...path, ...inner.path];
      if (inner.path.length === 1 && valueAt(document, place) === undefined) return false;
      if (inner.path.length > 0 || inner.code === "custom") return meant.push(inner) > 0;
      const deeper = meantBy(inner, place, document);
      return deeper !== undefined && meant.push(...deeper) > 0;
    });
    if (fits) return meant;
  }
  return undefined;
}

const kinds: Readonly<Record<string, string>> = {
  string: "a text",
  number: "a number",
  int: "a whole number",
  boolean: "true or false",
  array: "a list",
  object: "an object",
  record: "an object",
};

/** What was expected. Schemas that say it themselves begin so; the rest is said here. */
function wordsOf(issue: Issue): string {
  if (issue.message.startsWith("expected")) return issue.message;
  switch (issue.code) {
    case "invalid_type":
      return `expected ${kinds[issue.expected] ?? issue.expected}`;
    case "invalid_value":
      return `expected ${oneOf(issue.values.map(String))}`;
    case "invalid_union":
      return `expected ${oneOf(issue.message.match(/(?<=')[^' |]+(?=')/g) ?? ["another shape"])}`;
    case "too_small":
    case "too_big": {
      const unit = issue.origin === "array" ? " items" : issue.origin === "string" ? " characters" : "";
      const limit = issue.code === "too_small" ? `at least ${issue.minimum}` : `at most ${issue.maximum}`;
      return `expected ${limit}${unit}`.replace(/ 1 (item|character)s$/, " 1 $1");
    }
    default:
      return `expected another value (${issue.message.charAt(0).toLowerCase()}${issue.message.slice(1)})`;
  }
}

function oneOf(values: readonly string[]): string {
  return values.length === 1 ? (values[0] as string) : `one of ${values.join(", ")}`;
}

function valueAt(document: unknown, path: Path): unknown {
  let value = document;
  for (const key of path) {
    if (typeof value !== "object" || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}

/** `regions[2].over[0].start` */
export function pathText(path: Path): string {
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
