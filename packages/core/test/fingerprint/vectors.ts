import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import * as z from "zod";
import { fromHex } from "../../src/bytes/hex.js";
import type { FingerprintResult, Masked } from "../../src/fingerprint/fingerprint.js";
import { parseReadable } from "../../src/fingerprint/readable.js";
import { recipeOf } from "../../src/fingerprint/recipe.js";
import { Image } from "../../src/image/image.js";

/** The folder of the vectors and of the second implementation. */
export const folder = fileURLToPath(new URL("../../../../test-vectors/fingerprint/", import.meta.url));

const hex = z.string().regex(/^([0-9a-f]{2})*$/);
const digest = z.string().regex(/^[0-9a-f]{64}$/);
const spans = z.array(z.tuple([z.int(), z.int()]));
const segments = z.array(z.tuple([z.int(), hex]));
const part = z.strictObject({ spans, masked: spans, erased: z.int().nullable() });

const documentOf = <I extends z.ZodType, E extends z.ZodType>(input: I, expected: E) =>
  z.strictObject({
    about: z.string().min(1),
    source: z.string().min(1),
    vectors: z
      .array(z.strictObject({ id: z.string().regex(/^[a-z0-9-]+$/), comment: z.string().min(1), input, expected }))
      .min(1)
      .refine((list) => new Set(list.map(({ id }) => id)).size === list.length, "expected ids that occur once"),
  });

const schemas = {
  fingerprints: documentOf(
    z.strictObject({ segments, part }),
    z.discriminatedUnion("kind", [
      z.strictObject({
        kind: z.literal("computed"),
        recipeText: z.string(),
        recipe: digest,
        digest,
        readable: z.string(),
        filled: z.int(),
      }),
      z.strictObject({ kind: z.literal("missing"), recipe: digest, missing: spans }),
      z.strictObject({ kind: z.literal("nothing-covered") }),
    ]),
  ),
  contents: documentOf(z.strictObject({ segments }), z.strictObject({ content: digest.nullable() })),
  readable: documentOf(z.strictObject({ digest }), z.strictObject({ readable: z.string() })),
  typed: documentOf(
    z.strictObject({ text: z.string() }),
    z.union([
      z.strictObject({ readable: z.string(), digits: z.string() }),
      z.strictObject({ damage: z.literal("character"), character: z.string() }),
      z.strictObject({ damage: z.literal("length"), found: z.int() }),
      z.strictObject({ damage: z.literal("check"), found: z.string() }),
    ]),
  ),
};

/** The vectors of one file, in their schema. */
export function vectorsOf<Name extends keyof typeof schemas>(name: Name): z.output<(typeof schemas)[Name]>["vectors"] {
  const document = schemas[name].parse(JSON.parse(readFileSync(`${folder}${name}.json`, "utf8")));
  return document.vectors as z.output<(typeof schemas)[Name]>["vectors"];
}

export type Segments = readonly (readonly [number, string])[];
export type Pairs = readonly (readonly [number, number])[];
export interface PartInput {
  readonly spans: Pairs;
  readonly masked: Pairs;
  readonly erased: number | null;
}

export function imageOf(input: Segments): Image {
  return Image.of(input.map(([address, digits]) => ({ address, bytes: fromHex(digits) })));
}

export function partOf({ spans, masked, erased }: PartInput): Masked {
  const all = (pairs: Pairs) => pairs.map(([start, end]) => ({ start, end }));
  return { name: "program", spans: all(spans), masked: all(masked), erased };
}

/** The result in the form of the vectors. */
export function plainResult(result: FingerprintResult, part: Masked) {
  switch (result.kind) {
    case "computed": {
      const { recipe, digest, readable, filled } = result.fingerprint;
      return { kind: "computed", recipeText: recipeOf(part).text, recipe, digest, readable, filled };
    }
    case "missing":
      return {
        kind: "missing",
        recipe: result.recipe,
        missing: result.missing.map(({ start, end }) => [start, end]),
      };
    default:
      return { kind: "nothing-covered" };
  }
}

/** What was read out of a typed text, in the form of the vectors. */
export function plainReading(text: string) {
  const reading = parseReadable(text);
  if (reading.kind === "readable") return { readable: reading.text, digits: reading.digits };
  if (reading.damage === "character") return { damage: "character", character: reading.character };
  return { damage: reading.damage, found: reading.found };
}
