import * as z from "zod";
import { checksumSchema, statedChecksumSchema, statedNumberSchema } from "./checksum.js";
import { donorSchema } from "./donor.js";
import { fieldSchema } from "./field.js";
import { pairSchema } from "./pair.js";
import { byteValue, comment, count, range, statement } from "./quantity.js";
import { regionSchema } from "./region.js";
import { releaseSchema } from "./release.js";
import { verificationSchema } from "./verification.js";

/** The most that a profile may describe, in bytes: a limit on what reading holes as erased can cost. */
export const MEMORY_LIMIT = 256 * 1024 * 1024;

const memorySchema = z
  .strictObject({
    base: count.default(0).describe("where a raw file begins when the caller does not say"),
    size: z
      .union([count, z.array(count).min(1).max(16)], "expected a number of bytes, or a list of them")
      .optional()
      .describe("bytes from base on; several when parts of different size are in use"),
    erased: byteValue.optional().describe("what an erased byte reads as, where the family's memory has such"),
    holes: z
      .enum(["unknown", "erased"])
      .default("unknown")
      .describe("whether a hole inside a region that is otherwise there may be read as erased"),
    ...statement,
  })
  .meta({ id: "memory" });

/** What is known of one family of units. */
export const profileSchema = z
  .strictObject({
    $schema: z.string().optional(),
    profile: z.literal("assay.profile/1"),
    id: z.string().regex(/^[a-z0-9][a-z0-9.-]{0,63}$/, "expected lower-case letters, digits, dots and hyphens"),
    title: z.string().min(1).max(120),
    source: z.string().min(1).max(1000).describe("what the knowledge comes from, for whoever has to trust it"),
    confirmed: z
      .boolean()
      .default(true)
      .describe("false while a person has still to confirm it: then nothing is clear"),
    memory: memorySchema,
    regions: z.array(regionSchema).min(1).max(256),
    fields: z.array(fieldSchema).max(512).default([]),
    checksums: z.array(checksumSchema).max(512).default([]),
    statedChecksums: z
      .array(statedChecksumSchema)
      .max(512)
      .default([])
      .describe("values over parts of the image that somebody stated outside of it"),
    statedNumbers: z
      .array(statedNumberSchema)
      .max(64)
      .default([])
      .describe(
        "numbers of the content that somebody stated outside of it; they are its own while statedChecksums hold",
      ),
    volatile: z
      .array(z.strictObject({ over: z.array(range).min(1).max(64), why: z.string().min(1).max(300), ...statement }))
      .max(64)
      .default([])
      .describe("what a unit writes by itself, beside its adaptation and fault regions"),
    fingerprint: z
      .strictObject({
        without: z
          .array(z.strictObject({ over: z.array(range).min(1).max(64), why: z.string().min(1).max(300) }))
          .max(64)
          .default([])
          .describe("left out besides what the fields and checksums say"),
      })
      .optional(),
    pair: pairSchema.optional(),
    donor: donorSchema.optional().describe("what becomes of a used unit that is written with the software of another"),
    verificationNumbers: z
      .array(verificationSchema)
      .max(16)
      .default([])
      .describe(
        "what a diagnostic tester reads as calibration verification numbers, in the order of the unit's answer",
      ),
    releases: z.array(releaseSchema).max(1024).default([]).describe("what the maker put out for this family"),
    leftOut: z
      .array(z.string().min(1).max(300))
      .max(256)
      .default([])
      .describe("what its source says and a profile cannot: whoever reads a report has to know it"),
    raise: z
      .record(z.string(), z.enum(["review", "stop"]))
      .default({})
      .describe("findings that weigh more in this family; none can weigh less"),
    ...comment,
  })
  .meta({ id: "assay.profile/1", title: "Profile of a family of control units" });

export type Profile = z.output<typeof profileSchema>;
/** A profile as it is written. */
export type ProfileDocument = z.input<typeof profileSchema>;
export type Memory = Profile["memory"];
