import { Refusal } from "../findings/refusal.js";
import { jsonSchemaOf, readDocument, refusalOf } from "../profile/document.js";
import type { JsonLimits } from "../profile/json.js";
import { recordText } from "./chain.js";
import { type RecordDocument, recordSchema } from "./schema.js";

/** What a record may hold: some ten thousand runs. A file that is full is followed by a new one. */
export const recordLimits: JsonLimits = { depth: 32, size: 16 * 2 ** 20, values: 1_000_000 };

/** A record as it was read. Whether it is still what was written is another question: `verifyRecord` answers it. */
export interface RecordReading {
  readonly record: RecordDocument;
  /** The line that each entry begins on. */
  readonly lines: readonly number[];
  /** Whether the text is, to the byte, the one that these entries are written as. */
  readonly asWritten: boolean;
}

/**
 * The record that `text` holds.
 * @throws Refusal when it is no strict JSON or has not the shape of a record, naming the line
 */
export function readRecord(text: string): RecordReading {
  const reading = readDocument(text, recordSchema, () => [], recordLimits);
  if (!reading.document) throw refusalOf("record/invalid", reading.problems);
  const { document: record, lineOf } = reading;
  try {
    const asWritten = recordText(record) === text;
    return { record, lines: record.entries.map((_, i) => lineOf(`entries[${i}]`) ?? 1), asWritten };
  } catch (error) {
    throw error instanceof Refusal ? new Refusal("record/invalid", error.message, error.place) : error;
  }
}

/** The JSON Schema (draft 2020-12) of a record. */
export function recordJsonSchema(): object {
  return jsonSchemaOf(recordSchema);
}
