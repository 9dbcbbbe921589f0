import * as z from "zod";
import { MEMORY_END } from "../../bytes/span.js";

/** Numbers and places as a profile writes them: plainly, or computed from what a field of the image holds. */

const literalPattern = /^-?(0[xX][0-9a-fA-F]{1,9}|[0-9]{1,10}[kKmM]?)$/;

/**
 * The number that `text` states: decimal, 0x hex, or decimal with K (1024) or M (1024 * 1024) behind it; a minus in
 * front is allowed. Undefined when it states none.
 */
export function parseNumber(text: string): number | undefined {
  if (!literalPattern.test(text)) return undefined;
  const digits = text.startsWith("-") ? text.slice(1) : text;
  const unit = /k$/i.test(digits) ? 1024 : /m$/i.test(digits) ? 1024 * 1024 : 1;
  const value = Number(/^[0-9]+[km]$/i.test(digits) ? digits.slice(0, -1) : digits) * unit;
  return text.startsWith("-") ? -value : value;
}

const wholeNumber = 'expected a whole number, such as 4096, "0x1000" or "4K"';

function literal(minimum: number, expected: string) {
  return z
    .union([z.int(), z.string().regex(literalPattern, wholeNumber)], wholeNumber)
    .transform((written, context) => {
      const value = typeof written === "number" ? written : parseNumber(written);
      if (value !== undefined && value >= minimum && value <= MEMORY_END) return value;
      context.addIssue({ code: "custom", message: `expected ${expected}, got ${written}` });
      return z.NEVER;
    })
    .describe("a whole number, or text: decimal, 0x hex, or with K or M behind it");
}

export const count = literal(0, "a number from 0 to 2**32").meta({ id: "count" });
export const signed = literal(-MEMORY_END, "a number from -2**32 to 2**32").meta({ id: "signed" });

/** A byte value: 255, "0xFF". */
export const byteValue = count.refine((value) => value <= 255, "expected a byte, 0 to 255").meta({ id: "byte" });

/** A name: of a region, field, checksum, side or rule. What reports and other parts of the profile call it by. */
export const name = z
  .string()
  .regex(/^[A-Za-z][A-Za-z0-9-]{0,63}$/, "expected a name: a letter, then letters, digits or hyphens, 64 at most")
  .meta({ id: "name" });

export const comment = { $comment: z.string().optional() };

/** What stands beside a statement that a person may still have to confirm. */
export const statement = {
  unconfirmed: z
    .string()
    .min(1)
    .max(400)
    .optional()
    .describe("why a person has still to confirm it: while it stands here nothing is clear"),
  ...comment,
};

/** Bytes written as hexadecimal digits; blanks between bytes are allowed. */
export const hexBytes = z
  .string()
  .max(8192)
  .regex(/^([0-9a-fA-F]{2} ?)+$/, "expected bytes as pairs of hexadecimal digits")
  .transform((text) => text.replaceAll(" ", "").toLowerCase())
  .meta({ id: "bytes" });

/** A field's value, multiplied and moved. */
interface FieldTimes {
  readonly field: string;
  readonly times: number;
  readonly plus: number;
}

/** A number for each value of a field. */
interface FieldCases {
  readonly field: string;
  readonly cases: Readonly<Record<string, number>>;
  readonly otherwise?: number | undefined;
}

/** Two to the power of a field's value, multiplied. */
interface FieldPower {
  readonly twoToThe: string;
  readonly times: number;
}

type Simple = number | FieldTimes | FieldCases | FieldPower;

/** The next multiple of `to`. */
interface RoundedUp {
  readonly roundUp: Simple;
  readonly to: Simple;
}

export type Term = Simple | RoundedUp;
export type Quantity = Term | { readonly sum: readonly Term[] };

const fieldTimes: z.ZodType<FieldTimes> = z.strictObject({
  field: name,
  times: signed.default(1).describe("the field's value is multiplied by this"),
  plus: signed.default(0).describe("and this is added"),
});
const fieldCases: z.ZodType<FieldCases> = z.strictObject({
  field: name,
  cases: z
    .record(z.string(), signed)
    .describe("the number to take for each value of the field, written as a report shows it"),
  otherwise: signed.optional().describe("the number for every other value"),
});
const fieldPower: z.ZodType<FieldPower> = z.strictObject({
  twoToThe: name.describe("a field: two to the power of its value"),
  times: count.default(1),
});
const simple: z.ZodType<Simple> = z
  .union(
    [signed, fieldTimes, fieldCases, fieldPower],
    "expected a number or one of {field, times, plus}, {field, cases}, {twoToThe, times}",
  )
  .meta({ id: "simple-term" });
const rounded: z.ZodType<RoundedUp> = z.strictObject({
  roundUp: simple,
  to: simple.describe("the next multiple of this is taken"),
});
const forms = "{field, times, plus}, {field, cases}, {twoToThe, times}, {roundUp, to}";
const term: z.ZodType<Term> = z
  .union([signed, fieldTimes, fieldCases, fieldPower, rounded], `expected a number or one of ${forms}`)
  .meta({ id: "term" });

/** A number: written down, computed from a field, or a sum of such. */
export const quantity: z.ZodType<Quantity> = z
  .union([term, z.strictObject({ sum: z.array(term).min(1).max(8) })], `expected a number or one of ${forms}, {sum}`)
  .meta({ id: "quantity" });

const literalRange = z.strictObject({ start: count, length: count });

const anchor = z
  .strictObject({
    text: z.string().min(1).max(256).optional().describe("one character a byte"),
    hex: hexBytes.optional(),
    within: literalRange.optional().describe("where to look; everywhere when it is left out"),
  })
  .refine((value) => (value.text === undefined) !== (value.hex === undefined), "expected either text or hex");

/** A place in the unit's memory: an absolute address, or counted from the end, from a region or from a known text. */
export const position = z
  .union(
    [
      quantity,
      z.strictObject({ fromEnd: quantity.describe("counted back from the end of the memory, or of what was read") }),
      z.strictObject({ region: name, plus: quantity.default(0) }),
      z.strictObject({ after: anchor, plus: quantity.default(0) }),
    ],
    `expected an address or one of {fromEnd}, {region, plus}, {after, plus}, ${forms}, {sum}`,
  )
  .meta({ id: "position" });

/** A run of addresses: a whole region, the bytes of a field, or from a place with a length or an end (exclusive). */
export const range = z
  .union(
    [
      z.strictObject({ region: name }),
      z.strictObject({ field: name }),
      z.strictObject({ start: position, length: quantity }),
      z.strictObject({ start: position, end: position }),
    ],
    "expected one of {region}, {field}, {start, length}, {start, end}",
  )
  .meta({ id: "range" });

/** Holds only when the named field has this value. */
export const condition = z
  .strictObject({
    field: name,
    is: z
      .union([z.string(), z.int()], "expected a text or a whole number")
      .describe("the field's value as a report shows it"),
  })
  .meta({ id: "condition" });

export type Position = z.output<typeof position>;
export type Range = z.output<typeof range>;
export type Anchor = z.output<typeof anchor>;
export type Condition = z.output<typeof condition>;
