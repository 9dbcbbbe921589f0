import * as z from "zod";
import { severitySchema, verdictSchema } from "../report/schema.js";

/** The chained record of runs: what each was given, what it found, and the digest of the entry before. */

const sha256 = z.string().regex(/^[0-9a-f]{64}$/, "expected 64 lower-case hexadecimal digits");
const count = z.int().min(0);
const words = (most: number) => z.string().min(1).max(most);

/** The most that an entry lists; the counts beside the lists tell of the rest. */
export const entryLimits = { inputs: 64, findings: 256, places: 8, operator: 200, note: 4000 } as const;

/** Any value of JSON whose numbers are whole: those are written alike in every language. */
export type PlainValue =
  | null
  | boolean
  | number
  | string
  | readonly PlainValue[]
  | { readonly [key: string]: PlainValue };

const plainValue: z.ZodType<PlainValue> = z
  .lazy(() =>
    z.union(
      [z.null(), z.boolean(), z.int(), z.string(), z.array(plainValue), z.record(z.string(), plainValue)],
      "expected text, whole numbers, true, false, null, and lists and objects of these",
    ),
  )
  .meta({ id: "plainValue" });

const fileSchema = z.strictObject({
  name: words(4096).describe("the name without its folder"),
  bytes: count,
  sha256: sha256.describe("of the file as it lies on the disk"),
});

const placeSchema = z.strictObject({
  role: words(256).optional(),
  start: count.optional(),
  length: count.optional(),
  region: words(256).optional(),
  line: z.int().min(1).optional(),
  offset: count.optional(),
});

/** What one run came to, as it is handed in: what ties it to the chain is added when it is appended. */
export const newEntrySchema = z.strictObject({
  time: z
    .string()
    .regex(
      /^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d:([0-5]\d|60)(\.\d{1,9})?Z$/,
      "expected a time in UTC such as 2026-05-01T08:30:00Z",
    )
    .describe("when it was recorded, by the clock of the machine that did (ISO 8601, UTC)"),
  tool: z.strictObject({ name: words(64), version: words(64) }),
  operator: words(entryLimits.operator).nullable().describe("who ran it, as they called themselves"),
  note: words(entryLimits.note).nullable(),
  command: words(64),
  inputs: z
    .array(fileSchema.extend({ role: words(256).describe("read, left, source ...; profile and job for those") }))
    .max(entryLimits.inputs),
  verdict: verdictSchema,
  findings: z
    .array(
      z.strictObject({
        code: z
          .string()
          .max(128)
          .regex(/^[a-z0-9-]+\/[a-z0-9-]+$/, "expected the code of a finding"),
        severity: severitySchema,
        where: z.array(placeSchema).max(entryLimits.places),
        places: count.describe("how many places it has; where lists the first of them"),
      }),
    )
    .max(entryLimits.findings),
  findingsLeftOut: count.describe("findings beyond the number that an entry lists"),
  plan: plainValue.nullable().describe("what was to be written from where, for a command that plans"),
  output: fileSchema.nullable().describe("what the run wrote"),
});

/** What somebody says of a run before it is made. */
export const saidSchema = newEntrySchema.pick({ time: true, operator: true, note: true });

export const entrySchema = newEntrySchema
  .extend({
    number: z.int().min(1).describe("1 for the first entry of the record, then counting"),
    previous: sha256.nullable().describe("the digest of the entry before; null in the first"),
    digest: sha256.describe("of this entry without this member: see docs/record.md"),
  })
  .meta({ id: "entry" });

export const recordSchema = z
  .strictObject({
    schema: z.literal("assay.record/1"),
    entries: z.array(entrySchema).min(1),
    last: z
      .strictObject({ number: z.int().min(1), digest: sha256 })
      .describe("number and digest of the last entry: an end that was cut off shows"),
  })
  .meta({ id: "assay.record/1", title: "Record of runs of assay, chained by digests" });

/** What one run came to, before it is part of a record. */
export type NewRecordEntry = z.output<typeof newEntrySchema>;
export type RecordEntry = z.output<typeof entrySchema>;
export type RecordDocument = z.output<typeof recordSchema>;
