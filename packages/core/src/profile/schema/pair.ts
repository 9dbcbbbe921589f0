import * as z from "zod";
import { comment, hexBytes, name, range, statement } from "./quantity.js";

const over = z.array(range).min(1).max(64);
const why = z.string().min(1).max(300).describe("the reason, for the report");
const rule = { name, over, ...statement };

/** How the two units of a pair relate in a part of their memory. What no rule speaks of must be the same. */
export const pairRuleSchema = z
  .discriminatedUnion("rule", [
    z.strictObject({ ...rule, rule: z.literal("same"), why: why.optional() }),
    z.strictObject({ ...rule, rule: z.literal("free"), why }),
    z.strictObject({ ...rule, rule: z.literal("distinct"), why }).describe("must not be equal, each range by itself"),
    z
      .strictObject({ ...rule, rule: z.literal("per-side"), why, values: z.record(name, hexBytes) })
      .describe("these bytes on each side"),
    z.strictObject({ ...rule, rule: z.literal("complement"), why }).describe("every bit inverted in the other unit"),
    z
      .strictObject({ ...rule, rule: z.literal("exchanged"), why, with: over })
      .describe("what one unit holds in `over`, the other holds in `with`, and the other way round"),
    z
      .strictObject({
        ...rule,
        rule: z.literal("reordered"),
        why,
        element: z.int().min(1).max(256).describe("bytes of one element"),
        order: z
          .array(z.int().min(0).max(255))
          .min(2)
          .max(256)
          .describe("element k of the right unit is element order[k] of the left"),
      })
      .describe("the same elements in another order"),
  ])
  .meta({ id: "pair-rule" });

/** What a mirrored pair of this family looks like. */
export const pairSchema = z
  .strictObject({
    sides: z
      .strictObject({
        left: name,
        right: name,
        field: name.optional().describe("the field that tells the side"),
        values: z
          .record(name, z.union([z.string(), z.int()], "expected a text or a whole number"))
          .optional()
          .describe("that field's value for each side"),
        ...statement,
      })
      .optional(),
    rules: z.array(pairRuleSchema).max(256).default([]),
    ...comment,
  })
  .meta({ id: "pair" });

export type PairRule = z.output<typeof pairRuleSchema>;
export type Pairing = z.output<typeof pairSchema>;
