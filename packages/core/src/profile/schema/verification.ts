import * as z from "zod";
import { crcParameters } from "./checksum.js";
import { comment, name, range } from "./quantity.js";

/**
 * A calibration verification number (SAE J1979 / ISO 15031-5, service 09, information type 06), and what the unit
 * computes it from. Neither algorithm nor range is standardised: without such an entry a number is never recomputed.
 */
export const verificationSchema = z
  .strictObject({
    name,
    calibration: name.optional().describe("the field with the calibration identification that the number belongs to"),
    checksum: z
      .union(
        [
          name.describe("a checksum of this profile: the value that its place must hold"),
          z.strictObject({
            algorithm: z
              .union([z.string().min(1).max(64), crcParameters])
              .describe("a name of the catalogue, or parameters"),
            over: z.array(range).min(1).max(64).describe("what it covers, in the order in which it is fed"),
          }),
        ],
        "expected the name of a checksum, or {algorithm, over}",
      )
      .describe("what the number is computed by"),
    ...comment,
  })
  .meta({ id: "verification-number" });

export type VerificationRule = z.output<typeof verificationSchema>;
