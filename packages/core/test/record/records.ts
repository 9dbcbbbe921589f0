import { appendRecord } from "../../src/record/append.js";
import { recordEntryDigest, recordText } from "../../src/record/chain.js";
import { readRecord } from "../../src/record/read.js";
import type { NewRecordEntry, RecordDocument, RecordEntry } from "../../src/record/schema.js";

/** An invented run; `i` makes it another one. */
export function run(i: number, more: Partial<NewRecordEntry> = {}): NewRecordEntry {
  return {
    time: `2026-05-01T08:${String(i % 60).padStart(2, "0")}:00.000Z`,
    tool: { name: "assay", version: "0.1.0" },
    operator: i % 2 === 0 ? null : "Jörg \u{1f6e0}",
    note: i % 3 === 0 ? 'line one\nline "two" \\ \u0001\u2028' : null,
    command: "pair",
    inputs: [{ role: "left", name: `port-${i}.bin`, bytes: 262144 + i, sha256: "ab".repeat(32) }],
    verdict: "stop",
    findings: [
      {
        code: "pair/calibration-differs",
        severity: "stop",
        where: [{ role: "right", start: 0x31004, length: 1, region: "calibration" }],
        places: 1,
      },
    ],
    findingsLeftOut: 0,
    plan: null,
    output: null,
    ...more,
  };
}

/** The text of a record of `count` runs. */
export function recordOf(count: number): string {
  let text: string | undefined;
  for (let i = 1; i <= count; i++) text = appendRecord(text, run(i)).text;
  return text as string;
}

/** The text of `record` after somebody has worked on it, laid out as it should be. */
export function edited(text: string, edit: (record: RecordDocument) => void): string {
  const record = structuredClone(readRecord(text).record);
  edit(record);
  return recordText(record);
}

/** The entry with a digest that fits it, as a forger would make it. */
export function resealed(entry: RecordEntry): RecordEntry {
  return { ...entry, digest: recordEntryDigest(entry) };
}
