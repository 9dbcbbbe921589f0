import * as z from "zod";
import { byteValue, comment, condition, hexBytes, name, position, quantity, range, statement } from "./quantity.js";

const register = z
  .string()
  .regex(/^0[xX][0-9a-fA-F]{1,16}$/, "expected 0x and up to 16 hexadecimal digits")
  .transform((text) => BigInt(text));

/** A CRC by its parameters, in the notation of the public catalogue of parametrised CRC algorithms. */
export const crcParameters = z
  .strictObject({
    width: z.int().min(3).max(64),
    poly: register,
    init: register,
    refin: z.boolean(),
    refout: z.boolean(),
    xorout: register,
  })
  .meta({ id: "crc" });

/** How the stored value relates to what the algorithm gives. */
export const storedForms = [
  "value",
  "complement",
  "negated",
  "value-and-complement",
  "whole-comes-to-constant",
] as const;

/** A value that the image stores about a part of itself. */
export const checksumSchema = z
  .strictObject({
    name,
    title: z.string().max(80).optional(),
    algorithm: z
      .union(
        [z.string().min(1).max(64), crcParameters],
        "expected the name of an algorithm, or the parameters of a CRC",
      )
      .describe("a name of the catalogue, or parameters"),
    over: z.array(range).min(1).max(64).describe("what it covers, in the order in which it is fed"),
    gaps: z
      .union(
        [z.enum(["refuse", "leave-out"]), z.strictObject({ fill: byteValue })],
        'expected "refuse", "leave-out" or {fill}',
      )
      .default("refuse")
      .describe("what is done where nothing is known: no value, left out, or taken as this byte"),
    inside: z
      .union([z.literal("leave-out"), z.strictObject({ fill: byteValue })], 'expected "leave-out" or {fill}')
      .optional()
      .describe("how the stored value counts when it lies in what is covered"),
    reversedWords: z
      .union([z.literal(2), z.literal(4), z.literal(8)], "expected 2, 4 or 8")
      .optional()
      .describe("words of so many bytes are fed last byte first"),
    stored: z.strictObject({
      at: position,
      bytes: z.int().min(1).max(32).optional().describe("size of the stored value; the algorithm's own when left out"),
      order: z.enum(["little", "big"]).default("big"),
      form: z.enum(storedForms).default("value"),
      constant: register.optional().describe("with whole-comes-to-constant: what the whole comes to; 0 when left out"),
    }),
    repeat: z
      .strictObject({ count: quantity, every: quantity.describe("bytes from one to the next") })
      .optional()
      .describe("the same again further up, so many times in all"),
    when: condition.optional(),
    ...statement,
  })
  .meta({ id: "checksum-rule" });

/** A value over a part of the image that is known from outside: nothing of it is stored there. */
export const statedChecksumSchema = z
  .strictObject({
    name,
    title: z.string().max(80).optional(),
    algorithm: checksumSchema.shape.algorithm,
    over: checksumSchema.shape.over,
    gaps: checksumSchema.shape.gaps,
    value: hexBytes.describe("what the algorithm must give, the most significant byte first"),
    ...comment,
  })
  .meta({ id: "stated-checksum" });

/** A number of the content of a region that is known from outside: nothing of it is stored there. */
export const statedNumberSchema = z
  .strictObject({
    means: z.enum(["software-number", "calibration-number"]),
    number: z.string().min(1).max(64),
    region: name.describe("what it is the number of: counted while stated checksums cover all of it and hold"),
    ...comment,
  })
  .meta({ id: "stated-number" });

export type StatedNumber = z.output<typeof statedNumberSchema>;
export type StatedChecksum = z.output<typeof statedChecksumSchema>;
export type ChecksumRule = z.output<typeof checksumSchema>;
