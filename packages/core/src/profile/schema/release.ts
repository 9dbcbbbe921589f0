import * as z from "zod";
import { comment, name } from "./quantity.js";

const number = z.string().min(1).max(64);
const sha256 = z
  .string()
  .regex(/^[0-9a-fA-F]{64}$/, "expected a SHA-256: 64 hexadecimal digits")
  .transform((text) => text.toLowerCase());
const digests = z
  .union(
    [sha256.transform((digest) => [digest]), z.array(sha256).min(1).max(16)],
    "expected a SHA-256 (64 hexadecimal digits), or a list of them",
  )
  .describe(
    "one, or several of which one must be it: where the sides, or parts of different size, have each their own",
  );
const word = z.string().min(1).max(80);

/** A build as a machine has it: one value for each name. */
export const buildSchema = z
  .record(name, word)
  .describe("names of your own choice; market, engine, gearbox and side are customary: the same names as in releases")
  .meta({ id: "build" });

const releaseBuild = z
  .record(name, z.union([word, z.array(word).min(1).max(64)]))
  .refine((build) => Object.keys(build).length > 0, "expected at least one name with a value")
  .describe("the build of a machine that it is for; what is not named may be anything; several values: one of them");

/** A software that the maker put out. */
export const releaseSchema = z
  .strictObject({
    software: number.describe("the software number, as the unit's own field of that meaning states it"),
    calibration: number.optional().describe("the calibration number, where one software comes with several"),
    title: z.string().min(1).max(120).optional(),
    fingerprints: z
      .record(name, digests)
      .default({})
      .describe("by region, or whole: the digest of the content without what belongs to the single unit"),
    recipes: z
      .record(name, digests)
      .default({})
      .describe(
        "what each fingerprint covers, as a digest: one of another recipe is not compared; a fingerprint without was made with the profile as it stands",
      ),
    builds: z
      .array(releaseBuild)
      .max(256)
      .default([])
      .describe("what it may run on; it is enough that one of them fits"),
    supersedes: z
      .array(z.union([number, z.strictObject({ software: number, calibration: number })]))
      .max(256)
      .default([])
      .describe("the releases that it takes the place of, by software number"),
    hardware: z.array(number).max(256).optional().describe("hardware numbers that run it; any when it is left out"),
    ...comment,
  })
  .meta({ id: "release" });

export type Build = z.output<typeof buildSchema>;
export type Release = z.output<typeof releaseSchema>;
