import { jsonSchemaOf, type ProblemAt, readDocument, refusalOf } from "../profile/document.js";
import { checkJobSheet } from "./check.js";
import { type JobSheet, jobSheetSchema } from "./schema.js";

/** A job sheet, or everything that is wrong with it. */
export type JobSheetReading =
  | { readonly sheet: JobSheet; readonly problems: readonly [] }
  | { readonly sheet: undefined; readonly problems: readonly ProblemAt[] };

/**
 * Reads a job sheet from its JSON text and reports all that is wrong with it, not only the first thing.
 * @throws Refusal when the text is no strict JSON
 */
export function readJobSheet(text: string): JobSheetReading {
  const { document, problems } = readDocument(text, jobSheetSchema, checkJobSheet);
  return document ? { sheet: document, problems: [] } : { sheet: undefined, problems };
}

/**
 * The job sheet that `text` holds.
 * @throws Refusal for the first thing that is wrong with it, with the count of the others
 */
export function loadJobSheet(text: string): JobSheet {
  const { sheet, problems } = readJobSheet(text);
  if (sheet) return sheet;
  throw refusalOf("job/invalid", problems);
}

/** The JSON Schema (draft 2020-12) of a job sheet as it is written. */
export function jobSheetJsonSchema(): object {
  return jsonSchemaOf(jobSheetSchema);
}
