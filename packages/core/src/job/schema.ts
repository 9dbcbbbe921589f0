import * as z from "zod";
import { meanings } from "../profile/schema/field.js";
import { comment, name } from "../profile/schema/quantity.js";
import { buildSchema } from "../profile/schema/release.js";
import { dataIdentifierOf } from "./data-identifiers.js";

const value = z.string().min(1).max(256);
const values = z
  .union([value.transform((one) => [one]), z.array(value).min(1).max(16)], "expected a text, or a list of texts")
  .describe("one, or several where the place states several");

/** What may stand on a label: everything that has a meaning but the secret of an immobiliser. */
export const labelMeanings = meanings.filter((meaning) => meaning !== "immobiliser");
export type LabelMeaning = Exclude<(typeof meanings)[number], "immobiliser">;

const labelSchema = z
  .partialRecord(z.enum(labelMeanings as [LabelMeaning, ...LabelMeaning[]]), values)
  .describe("what the label on the case says, by meaning")
  .meta({ id: "label" });

const identifierKey = z
  .string()
  .max(80)
  .refine(
    (text) => dataIdentifierOf(text) !== undefined,
    "expected a data identifier: four hexadecimal digits, or a name of ISO 14229-1 such as ECUSerialNumber",
  )
  .describe("four hexadecimal digits (F190), or the name that ISO 14229-1 gives to F180 to F19F (VIN)");

const calibrationSchema = z
  .strictObject({
    identification: z
      .string()
      .min(1)
      .max(16)
      .optional()
      .describe("the calibration identification (information type 04), up to 16 characters"),
    verificationNumber: z
      .string()
      .max(24)
      .regex(/^(0[xX])?([0-9a-fA-F] ?){1,8}$/, "expected up to 8 hexadecimal digits")
      .transform((text) => text.replace(/^0x/i, "").replaceAll(" ", "").toLowerCase().padStart(8, "0"))
      .optional()
      .describe("the calibration verification number (information type 06): up to 4 bytes as hexadecimal digits"),
    ...comment,
  })
  .refine(
    (one) => one.identification !== undefined || one.verificationNumber !== undefined,
    "expected an identification, a verification number or both, got neither",
  )
  .meta({ id: "calibration" });

const testerSchema = z
  .strictObject({
    dataIdentifiers: z
      .record(identifierKey, values)
      .default({})
      .describe("what was read by data identifier (ISO 14229-1, service 22), as text"),
    machineNumber: value.optional().describe("service 09, information type 02 (SAE J1979 / ISO 15031-5)"),
    identifications: z
      .record(z.string().min(1).max(128), values)
      .default({})
      .describe(
        "what was answered otherwise, by the name that a profile's donor.expects or a flash container has for it",
      ),
    calibrations: z
      .array(calibrationSchema)
      .max(16)
      .default([])
      .describe("service 09, information types 04 and 06, in the order of the answer"),
    ...comment,
  })
  .meta({ id: "tester" });

const unitSchema = z.strictObject({
  label: labelSchema.optional(),
  tester: testerSchema.optional().describe("what the unit answered to a diagnostic tester"),
  ...comment,
});

/** What is known of a machine and of its units from outside. */
export const jobSheetSchema = z
  .strictObject({
    $schema: z.string().optional(),
    job: z.literal("assay.job/1"),
    title: z.string().min(1).max(200).optional(),
    machine: z
      .strictObject({
        number: value.optional().describe("the number of the vehicle, boat or machine, from its papers or its plate"),
        road: z.boolean().default(false).describe("a road vehicle: its number has the form of ISO 3779"),
        build: buildSchema.optional(),
        ...comment,
      })
      .optional(),
    units: z
      .array(
        unitSchema.extend({ side: name.optional().describe("as the profile calls it; none where there is one unit") }),
      )
      .max(16)
      .default([])
      .describe("the units that belong to this machine"),
    donor: unitSchema.optional().describe("the used unit that is to take the software"),
    wanted: z
      .strictObject({
        software: z.string().min(1).max(64).describe("the software number that the machine is to run"),
        calibration: z.string().min(1).max(64).optional(),
        ...comment,
      })
      .optional(),
    note: z.string().max(4000).optional(),
    ...comment,
  })
  .meta({ id: "assay.job/1", title: "Job sheet: what is known of a machine and its units from outside" });

export type JobSheet = z.output<typeof jobSheetSchema>;
export type Machine = NonNullable<JobSheet["machine"]>;
export type UnitSheet = z.output<typeof unitSchema>;
export type Label = NonNullable<UnitSheet["label"]>;
export type Tester = NonNullable<UnitSheet["tester"]>;
export type TesterCalibration = Tester["calibrations"][number];
export type Wanted = NonNullable<JobSheet["wanted"]>;
