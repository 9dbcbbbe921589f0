import { Refusal } from "../findings/refusal.js";
import { refusalOf, shapeOf } from "../profile/document.js";
import { problemsOf } from "../profile/problems.js";
import { canonicalJson } from "./canonical.js";
import { recordEntryDigest, recordText } from "./chain.js";
import { readRecord, recordLimits } from "./read.js";
import { type NewRecordEntry, newEntrySchema, type RecordDocument } from "./schema.js";
import { verifyRecord } from "./verify.js";

/** A record with one entry more. */
export interface Appended {
  readonly text: string;
  readonly number: number;
  /** Of the new entry. Whoever notes it elsewhere can tell later that nothing up to here was changed. */
  readonly digest: string;
}

/**
 * The record `text` with `entry` at its end; a new record when `text` is undefined.
 * @throws Refusal when `text` is no record, does not hold, or would become too large, or `entry` has not the shape of one
 */
export function appendRecord(text: string | undefined, entry: NewRecordEntry): Appended {
  const added = checked(entry);
  const before = text === undefined ? [] : recordedEntries(text);
  const number = before.length + 1;
  const chained = { ...added, number, previous: before.at(-1)?.digest ?? null };
  const digest = recordEntryDigest(chained);
  const record: RecordDocument = {
    schema: "assay.record/1",
    entries: [...before, { ...chained, digest }],
    last: { number, digest },
  };
  const appended = recordText(record);
  if (appended.length > recordLimits.size) {
    throw new Refusal(
      "record/full",
      `expected a record of at most ${recordLimits.size} characters, got ${appended.length} with this entry; begin a new one`,
    );
  }
  return { text: appended, number, digest };
}

function checked(entry: NewRecordEntry): NewRecordEntry {
  canonicalJson(entry); // refuses what has no end or no spelling, before anything walks through it
  const shaped = shapeOf(newEntrySchema, entry);
  if (shaped.success) return shaped.data;
  throw refusalOf("record/entry-invalid", problemsOf(shaped.error, entry));
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
