import * as z from "zod";
import { imageSources, writtenFormatNames } from "../formats/decoded.js";
import { blockKinds } from "../soundness/kinds.js";

/** The report that leaves the core: one JSON document. Addresses and lengths are integers, digests lower-case hex. */

const address = z
  .int()
  .min(0)
  .max(2 ** 32);
const digest = z.string().regex(/^[0-9a-f]+$/);

const span = z
  .object({
    start: address,
    length: z
      .int()
      .min(0)
      .max(2 ** 32),
  })
  .meta({ id: "span" });

export const verdictSchema = z.enum(["clear", "review", "stop"]).describe("what the whole run comes to");
export const severitySchema = z.enum(["note", "review", "stop"]);

const inputSchema = z
  .object({
    role: z.string().describe("the part this file plays: read, left, right, source, donor, intended, readback ..."),
    name: z.string(),
    format: z.enum(imageSources),
    bytes: z.int().min(0).describe("size of the file"),
    sha256: digest.describe("of the file as it lies on the disk"),
    spans: z.array(span).describe("the addresses that the file says something about"),
    packed: z.string().optional().describe("gzip or zip, when the file was opened out of one"),
    parts: z
      .array(z.object({ name: z.string(), bytes: z.int().min(0), sha256: digest }))
      .optional()
      .describe("the part files that the read was put together from; bytes and sha256 above are of all of them"),
  })
  .meta({ id: "input" });

const checksumSchema = z
  .object({
    name: z.string(),
    algorithm: z.string(),
    status: z.enum(["holds", "fails", "absent"]),
    stored: z.string().nullable().describe("as hex, null when it cannot be read"),
    computed: z.string().nullable().describe("as hex, null when a byte that it covers is not known"),
    range: z.array(span).optional().describe("the addresses that it covers"),
    at: span.optional().describe("where the value is stored"),
  })
  .meta({ id: "checksum" });

const imageSchema = z
  .object({
    role: z.string(),
    identity: z.record(z.string(), z.string()).describe("declared fields by name; masked in a private report"),
    checksums: z.array(checksumSchema),
    fingerprints: z.record(z.string(), digest),
    recipes: z.record(z.string(), digest).optional().describe("what each fingerprint covers, as a digest"),
    shortFingerprints: z.record(z.string(), z.string()).optional().describe("to read out or print on a label"),
    coverage: z.object({ checksummed: z.number().min(0).max(1), described: z.number().min(0).max(1) }),
    side: z.string().nullable().optional(),
    regions: z
      .array(z.object({ name: z.string(), role: z.string(), spans: z.array(span) }))
      .optional()
      .describe("the profile's regions as they lie in this image"),
    content: z
      .array(span.extend({ kind: z.enum(blockKinds) }))
      .optional()
      .describe("what the memory looks like from its first to its last known byte, neighbours of one kind together"),
    processor: z
      .object({
        family: z.string().nullable().describe("null when it cannot be told"),
        name: z
          .string()
          .nullable()
          .describe("what the family is called, with the instruction set where it has several"),
        order: z.enum(["little", "big"]).nullable().describe("of words in memory, where the image shows it"),
        certainty: z.enum(["certain", "likely", "unknown"]),
        because: z.array(z.string()),
      })
      .optional()
      .describe("the family of processors that the image is for, of the command check; no verdict depends on it"),
  })
  .meta({ id: "image" });

const partSchema = z
  .object({ what: z.string(), first: z.int().min(1), last: z.int().min(1) })
  .nullable()
  .describe("which rows, columns, values or points, counted from 1");

const tableSchema = span
  .extend({
    rows: z.int().min(1).describe("1 of a curve"),
    columns: z.int().min(1),
    width: z.union([z.literal(8), z.literal(16)]).describe("bits of one value"),
    signed: z.boolean(),
    order: z.enum(["little", "big"]).nullable().describe("null when all of it are single bytes"),
    values: span,
    axes: z.array(
      span.extend({
        what: z.enum(["columns", "rows"]),
        points: z.int().min(1),
        width: z.union([z.literal(8), z.literal(16)]).describe("bits of one point"),
      }),
    ),
    certainty: z.enum(["likely", "possible"]),
    part: partSchema,
  })
  .meta({ id: "table" });

const differenceSchema = z
  .object({
    start: address,
    length: z.int().min(1),
    region: z.string().nullable(),
    explained: z.boolean(),
    rule: z.string().nullable().describe("the rule that explains it"),
    names: z
      .array(
        z.object({
          name: z.string(),
          kind: z.enum(["value", "text", "block", "curve", "map", "cuboid", "axis", "segment"]),
          part: partSchema,
        }),
      )
      .optional()
      .describe("what a measurement description calls the place"),
    table: tableSchema
      .optional()
      .describe(
        "data around it that look like a table, where no description names the place; no verdict depends on it",
      ),
  })
  .meta({ id: "difference" });

const checkSchema = z
  .object({
    rule: z.string(),
    outcome: z.enum(["pass", "fail", "unknown", "not-applicable"]),
    subject: z.string().describe("the role it was asked of, or both"),
    because: z.string().nullable(),
  })
  .meta({ id: "check" });

const findingSchema = z
  .object({
    code: z.string(),
    severity: severitySchema,
    title: z.string(),
    detail: z.string(),
    subject: z.string().describe("the role of what it was found in, or both: also where it has no place"),
    where: z.array(
      z.object({
        role: z.string().optional(),
        start: address.optional(),
        length: z.int().min(0).optional(),
        region: z.string().optional(),
        line: z.int().min(1).optional(),
        offset: z.int().min(0).optional(),
      }),
    ),
    expected: z.string().nullable(),
    found: z.string().nullable(),
    advice: z.string(),
  })
  .meta({ id: "finding" });

const originSchema = z.enum(["source", "donor", "erased"]);

const planSchema = z
  .object({
    regions: z.array(
      z.object({
        region: z.string().nullable().describe("null for what lies in no region"),
        role: z.string().nullable(),
        origin: originSchema.describe("where its bytes come from, whole"),
        decided: z.enum(["profile", "role", "open"]).describe("who says so; open: nobody, and the donor's is kept"),
        reason: z.string(),
        bytes: z.int().min(0),
        changes: z.int().min(0).nullable().describe("bytes of the donor that become others; null when not known"),
        spans: z.array(span),
      }),
    ),
    recomputed: z
      .array(
        z.object({
          checksum: z.string(),
          at: span,
          bytes: z.array(z.object({ address, before: z.string(), after: z.string() })),
        }),
      )
      .describe("the only bytes of the composed image that are neither unit's"),
    composed: z
      .object({
        bytes: z.int().min(0),
        content: digest.nullable().describe("digest of the content, whatever the file format"),
        spans: z.array(span),
      })
      .nullable()
      .describe("null when nothing could be composed"),
  })
  .meta({ id: "plan", title: "What a donor would be written with" });

const outputSchema = z
  .object({
    name: z.string(),
    format: z.enum(writtenFormatNames),
    bytes: z.int().min(0),
    sha256: digest,
  })
  .meta({ id: "output" });

export const reportSchema = z
  .object({
    schema: z.literal("assay.report/1"),
    tool: z.object({ name: z.literal("assay"), version: z.string() }),
    command: z.string(),
    verdict: verdictSchema,
    profile: z.object({ id: z.string(), title: z.string() }).nullable().optional(),
    inputs: z.array(inputSchema),
    images: z.array(imageSchema),
    differences: z.array(differenceSchema).optional(),
    differencesLeftOut: z.int().min(0).optional().describe("runs beyond the number that a report lists"),
    plan: planSchema.optional().describe("of the command donor"),
    output: outputSchema.nullable().optional().describe("the file that was written; null when none was"),
    checks: z.array(checkSchema),
    findings: z.array(findingSchema),
    names: z
      .object({
        file: z.string(),
        project: z.string().nullable(),
        identifier: z.string().nullable().describe("the text that marks the software (EPK)"),
        images: z
          .array(z.object({ role: z.string(), fits: z.boolean().nullable().describe("null when it cannot be told") }))
          .describe("whether the identifier stands in each image where it must"),
        used: z.boolean().describe("whether the differences carry names: not when an image is of other software"),
        leftOut: z.array(z.string()),
      })
      .optional()
      .describe("the measurement description that names places"),
    cautions: z.array(z.string()).optional(),
    record: z
      .object({ name: z.string(), entry: z.int().min(1), digest })
      .optional()
      .describe("the record that this run was entered in, the number of its entry, and the digest of that"),
  })
  .meta({ id: "assay.report/1", title: "Report of assay" });

/** The document of a command that could not be carried out (exit code 2). */
export const errorSchema = z
  .object({
    schema: z.literal("assay.error/1"),
    error: z.object({
      code: z.string(),
      message: z.string(),
      file: z.string().optional(),
      line: z.int().min(1).optional(),
      offset: z.int().min(0).optional(),
      path: z.string().optional().describe("place inside a profile or job sheet"),
    }),
  })
  .meta({ id: "assay.error/1", title: "Error of assay" });

export type Report = z.output<typeof reportSchema>;
export type ReportInput = Report["inputs"][number];
export type ReportImage = Report["images"][number];
export type ReportProcessor = NonNullable<ReportImage["processor"]>;
export type ReportPlan = NonNullable<Report["plan"]>;
export type ReportChecksum = ReportImage["checksums"][number];
export type ReportDifference = NonNullable<Report["differences"]>[number];
export type ReportCheck = Report["checks"][number];
export type ReportFinding = Report["findings"][number];
export type ErrorDocument = z.output<typeof errorSchema>;
