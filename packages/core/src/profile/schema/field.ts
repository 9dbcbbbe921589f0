import * as z from "zod";
import { condition, count, hexBytes, name, position, quantity, statement } from "./quantity.js";

/** What a field tells, where other parts of the library ask for it by meaning and not by name. */
export const meanings = [
  "hardware-number",
  "software-number",
  "calibration-number",
  "boot-version",
  "part-number",
  "serial-number",
  "machine-number",
  "side",
  "build",
  "immobiliser",
] as const;
export type Meaning = (typeof meanings)[number];

/** What a field's value is particular to. What belongs to a unit or a machine is left out of fingerprints. */
export const belongings = ["software", "calibration", "hardware", "unit", "machine", "side"] as const;
export type Belonging = (typeof belongings)[number];

const field = {
  name,
  title: z.string().max(80).optional().describe("what people call it"),
  means: z.enum(meanings).optional(),
  belongsTo: z.enum(belongings).optional().describe("taken from `means` when it is left out"),
  answeredBy: z
    .array(
      z
        .string()
        .regex(
          /^([0-9A-F]{4}|calibration-identification)$/,
          "expected a data identifier as F188, or calibration-identification",
        ),
    )
    .min(1)
    .max(8)
    .optional()
    .describe(
      "what a diagnostic tester asks for to get this value, where it is not the data identifier of its meaning",
    ),
  inBuild: name
    .optional()
    .describe("the name in a job sheet's build that tells the same, in the words in which a report shows this field"),
  at: position,
  required: z.boolean().default(true).describe("whether a unit without a readable value needs a review"),
  when: condition.optional(),
  ...statement,
};
const length = quantity.describe("in bytes");
const order = z.enum(["little", "big"]);
const padding = hexBytes.optional().describe("byte values that may fill the end, as hex: 00, 20, FF");
const pattern = z
  .string()
  .min(1)
  .max(512)
  .optional()
  .describe("a regular expression that the whole value must match; no look-around, no back-reference");
const textual = {
  padding,
  pattern,
  equals: z.string().optional().describe("the only value that fits this profile: a mark"),
  oneOf: z.array(z.string()).min(1).optional(),
};

/** A value at a place of the memory. */
export const fieldSchema = z
  .discriminatedUnion("type", [
    z.strictObject({
      ...field,
      ...textual,
      type: z.literal("text").describe("printable ASCII"),
      length,
      checkDigit: z.literal("49-cfr-565").optional().describe("a machine number of 17 characters with its check digit"),
    }),
    z.strictObject({ ...field, ...textual, type: z.literal("digits").describe("ASCII digits"), length }),
    z.strictObject({ ...field, ...textual, type: z.literal("bcd").describe("two decimal digits a byte"), length }),
    z.strictObject({
      ...field,
      type: z.literal("hex").describe("bytes shown as they are"),
      length,
      equals: hexBytes.optional(),
      oneOf: z.array(hexBytes).min(1).optional(),
    }),
    z.strictObject({
      ...field,
      type: z.literal("unsigned"),
      length: z.int().min(1).max(8).describe("in bytes"),
      order: order.optional().describe("needed when it is longer than a byte"),
      bits: z
        .strictObject({ from: z.int().min(0).max(63), count: z.int().min(1).max(64) })
        .optional()
        .describe("only these bits, counted from the least significant"),
      show: z.enum(["decimal", "hex"]).default("decimal"),
      equals: count.optional(),
      oneOf: z.array(count).min(1).optional(),
    }),
  ])
  .meta({ id: "field" });

export type Field = z.output<typeof fieldSchema>;

const owners: Readonly<Record<Meaning, Belonging>> = {
  "hardware-number": "hardware",
  "software-number": "software",
  "calibration-number": "calibration",
  "boot-version": "hardware",
  "part-number": "hardware",
  "serial-number": "unit",
  "machine-number": "machine",
  side: "side",
  build: "software",
  immobiliser: "machine",
};

/** What the field's value is particular to: declared, or following from its meaning; software when neither says. */
export function belongingOf(subject: Field): Belonging {
  return subject.belongsTo ?? (subject.means ? owners[subject.means] : "software");
}

/** Belongings of what a private report leaves out. */
const ownersOwn: readonly Belonging[] = ["unit", "machine"];

/** Whether a value of that meaning tells the single unit, or the machine and with it its owner. */
export function meaningConcernsOwner(meaning: Meaning): boolean {
  return ownersOwn.includes(owners[meaning]);
}

/**
 * Whether the field's value concerns an owner or the single unit, by what it belongs to or by its meaning. Nobody has
 * confirmed yet what a drafted field is: it may be the owner's.
 */
export function concernsOwner(subject: Field): boolean {
  if (subject.unconfirmed !== undefined || ownersOwn.includes(belongingOf(subject))) return true;
  return subject.means !== undefined && meaningConcernsOwner(subject.means);
}

/** Whether the field's value is shown to nobody, masked report or not: what an immobiliser holds. */
export function isNeverShown({ means }: Field): boolean {
  return means === "immobiliser";
}
