import * as z from "zod";
import { meanings } from "./field.js";
import { comment, name } from "./quantity.js";

/** Where the bytes of a region come from, when a donor is written. */
export const origins = ["source", "donor", "erased"] as const;
export type Origin = (typeof origins)[number];

const number = z.string().min(1).max(64);
const numbers = z.array(number).min(1).max(256);
const why = z.string().min(1).max(300);

/** What a unit may have to say of itself before it is written: what a label or a diagnostic tester tells as well. */
const expectedMeanings = meanings.filter(
  (meaning) => meaning !== "immobiliser" && meaning !== "side" && meaning !== "machine-number",
);

type ExpectedMeaning = Exclude<(typeof meanings)[number], "immobiliser" | "side" | "machine-number">;

/** What becomes of a used unit of this family when it is written with the software of another. */
export const donorSchema = z
  .strictObject({
    regions: z
      .array(
        z.strictObject({
          region: name,
          origin: z
            .enum(origins)
            .describe("source: carried whole from the source; donor: kept as the donor has it; erased: left blank"),
          why: why.describe("the reason, for the report"),
          ...comment,
        }),
      )
      .max(256)
      .default([])
      .describe("where each region comes from; what is not named follows from its role"),
    hardware: z
      .array(
        z.strictObject({
          number: number.describe("the donor's hardware number"),
          takes: numbers.optional().describe("hardware whose software it runs as well; of these and no others"),
          supersedes: numbers
            .optional()
            .describe("hardware that it took the place of: it runs their software and that of what they superseded"),
          why: why.optional(),
          ...comment,
        }),
      )
      .max(256)
      .default([])
      .describe("hardware that may take the software of another; the same number always may"),
    boot: z
      .array(
        z.strictObject({
          version: number.describe("the version of the boot software, as the unit's own field states it"),
          starts: numbers.describe("software numbers that it starts"),
          why: why.optional(),
          ...comment,
        }),
      )
      .max(256)
      .default([])
      .describe("boot versions, and the software that each starts: asked where the donor keeps a boot of its own"),
    expects: z
      .array(
        z.strictObject({
          name: z.string().min(1).max(128).describe("what it is called, as a job sheet answers it"),
          means: z
            .enum(expectedMeanings as [ExpectedMeaning, ...ExpectedMeaning[]])
            .optional()
            .describe("then image, label and tester's answers tell it as well"),
          oneOf: numbers.describe("what the donor must say"),
          why: why.optional(),
          ...comment,
        }),
      )
      .max(64)
      .default([])
      .describe("what a donor must say of itself before it is written"),
    identifiedBy: z
      .strictObject({
        hardware: name.optional().describe("the field of meaning hardware-number when it is left out"),
        boot: name.optional().describe("the field of meaning boot-version when it is left out"),
        size: name.optional().describe("a field that tells the size of the part, where one does"),
        ...comment,
      })
      .default({})
      .describe("the fields that tell whether a donor fits"),
    ...comment,
  })
  .meta({ id: "donor" });

export type Expected = DonorRules["expects"][number];
export type DonorRules = z.output<typeof donorSchema>;
