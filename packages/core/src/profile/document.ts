import * as z from "zod";
import { Refusal } from "../findings/refusal.js";
import type { RefusalCode } from "../findings/refusals.js";
import type { Problem } from "./check/problem.js";
import { type JsonLimits, readJson } from "./json.js";
import { problemsOf } from "./problems.js";

/** One thing wrong with a document, with the line that it stands on, or that what holds it begins on. */
export type ProblemAt = Problem & { readonly line?: number };

/** What a document says, or everything that is wrong with it. */
export type DocumentReading<T> =
  | { readonly document: T; readonly problems: readonly []; readonly lineOf: (path: string) => number | undefined }
  | { readonly document: undefined; readonly problems: readonly ProblemAt[] };

/**
 * Reads a document of the shape `schema` from its JSON text; `check` adds what a shape cannot say. All that is wrong is
 * reported, by line, not only the first thing.
 * @throws Refusal when the text is no strict JSON
 */
export function readDocument<Schema extends z.ZodType>(
  text: string,
  schema: Schema,
  check: (document: z.output<Schema>) => readonly Problem[],
  limits?: JsonLimits,
): DocumentReading<z.output<Schema>> {
  const { value, lineOf } = readJson(text, limits);
  const shaped = shapeOf(schema, value);
  const problems = shaped.success ? check(shaped.data) : problemsOf(shaped.error, value);
  if (shaped.success && problems.length === 0) return { document: shaped.data, problems: [], lineOf };
  return {
    document: undefined,
    problems: problems
      .map((problem): ProblemAt => {
        const line = lineAt(problem.path, lineOf);
        return line === undefined ? problem : { ...problem, line };
      })
      .sort((a, b) => (a.line ?? 0) - (b.line ?? 0)),
  };
}

/** `value` in the shape of `schema`, or why not. Nothing is compiled for it: a page may forbid that, and one document does not repay it. */
export function shapeOf<Schema extends z.ZodType>(
  schema: Schema,
  value: unknown,
): z.ZodSafeParseResult<z.output<Schema>> {
  return schema.safeParse(value, { jitless: true });
}

/** The refusal of `code` for the first of `problems`, with the count of the others. */
export function refusalOf(code: RefusalCode, problems: readonly ProblemAt[]): Refusal {
  const { path = "", message = "expected another document", line } = problems[0] ?? {};
  const more = problems.length > 1 ? ` (and ${problems.length - 1} more)` : "";
  const place = path === "" ? "document" : path;
  return new Refusal(code, `${place}: ${message}${more}`, { path, ...(line !== undefined && { line }) });
}

/** The JSON Schema (draft 2020-12) of a document as it is written. */
export function jsonSchemaOf(schema: z.ZodType): object {
  return z.toJSONSchema(schema, { target: "draft-2020-12", io: "input", unrepresentable: "any" });
}

/** The line of `path`, or of what holds it: a member that is missing has no line of its own. */
function lineAt(path: string, lineOf: (path: string) => number | undefined): number | undefined {
  for (let here = path; here !== ""; here = here.slice(0, Math.max(here.lastIndexOf("."), here.lastIndexOf("["), 0))) {
    const line = lineOf(here);
    if (line !== undefined) return line;
  }
  return lineOf("");
}
