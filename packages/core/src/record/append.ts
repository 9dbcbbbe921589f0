import { Refusal } from "../findings/refusal.js";
import { refusalOf, shapeOf } from "../profile/document.js";
import { problemsOf } from "../profile/problems.js";
import { canonicalJson } from "./canonical.js";
import { recordEntryDigest, recordText } from "./chain.js";
import type { RunFacts } from "./entry.js";
import { readRecord, recordLimits } from "./read.js";
import { type NewRecordEntry, newEntrySchema, type RecordDocument, saidSchema } from "./schema.js";
import { verifyRecord } from "./verify.js";

/** A record with one entry more. */
export interface Appended {
  readonly text: string;
  readonly number: number;
  /** Of the new entry. Whoever notes it elsewhere can tell later that nothing up to here was changed. */
  readonly digest: string;
}

/** The shortest entry, laid out, is about as long: a record without that much room is full. */
const roomForOne = 1024;

/**
 * Looks before a run whether it could be entered in the record `text`; in a new one when `text` is undefined.
 * @throws Refusal when `text` is no record, does not hold or is full, or the time, the operator or the note cannot be
 */
export function checkRecordable(
  text: string | undefined,
  { time, operator, note }: Pick<RunFacts, "time" | "operator" | "note">,
): void {
  const said = { time, operator: operator ?? null, note: note ?? null };
  const shape = shapeOf(saidSchema, said);
  if (!shape.success) throw invalid(shape.error, said);
  if (text === undefined) return;
  recordedEntries(text);
  if (text.length + roomForOne > recordLimits.size) throw full(text.length + roomForOne);
}

/**
 * The record `text` with `entry` at its end; a new record when `text` is undefined.
 * @throws Refusal when `text` is no record, does not hold, or would become too large, or `entry` has not the shape of one
 */
export function appendRecord(text: string | undefined, entry: NewRecordEntry): Appended {
  canonicalJson(entry); // refuses what has no end or no spelling, before anything walks through it
  const shape = shapeOf(newEntrySchema, entry);
  if (!shape.success) throw invalid(shape.error, entry);
  const before = text === undefined ? [] : recordedEntries(text);
  const number = before.length + 1;
  const chained = { ...shape.data, number, previous: before.at(-1)?.digest ?? null };
  const digest = recordEntryDigest(chained);
  const record: RecordDocument = {
    schema: "assay.record/1",
    entries: [...before, { ...chained, digest }],
    last: { number, digest },
  };
  const appended = recordText(record);
  if (appended.length > recordLimits.size) throw full(appended.length);
  return { text: appended, number, digest };
}

function invalid(error: Parameters<typeof problemsOf>[0], value: unknown): Refusal {
  return refusalOf("record/entry-invalid", problemsOf(error, value));
}

function full(length: number): Refusal {
  return new Refusal(
    "record/full",
    `expected a record of at most ${recordLimits.size} characters, got ${length} with this entry; begin a new one`,
  );
}

/** The entries of a record that holds. One that does not is never added to: that would lend it a sound end. */
function recordedEntries(text: string): RecordDocument["entries"] {
  const reading = readRecord(text);
  const { verdict, findings } = verifyRecord(reading);
  if (verdict === "clear") return reading.record.entries;
  const first = findings.find(({ severity }) => severity !== "note");
  const line = first?.where.find((place) => place.line !== undefined)?.line;
  const wrong = first ? `${first.detail} (${first.code})` : "something else";
  throw new Refusal(
    "record/altered",
    `expected a record that holds, got one in which ${wrong}; nothing was added`,
    line === undefined ? {} : { line },
  );
}
