import { lengthOf, overlap, type Span } from "../bytes/span.js";
import { isPrintable, latin1 } from "../bytes/text.js";
import { readUint } from "../bytes/word.js";
import { bytesAt, type Family, firstRead } from "./family.js";
import { type DraftedField, shapeOf } from "./fields.js";
import type { RoledPiece } from "./roles.js";

/** What a value is for where the part of the memory that it stands in says so, and values that only such a part has. */

/** `fields` of `region`, with the meaning that its role gives them; `elsewhere` are those of code and tables. */
export function meantIn(
  family: Family,
  region: RoledPiece,
  fields: readonly DraftedField[],
  elsewhere: readonly DraftedField[],
): DraftedField[] {
  let numbered = false;
  return fields.map((field): DraftedField => {
    if (field.stem !== "number" || (field.way !== "release" && field.way !== "machine")) return field;
    const copied = elsewhere.find((other) => sameValues(family, field.span, other.span));
    if (copied) {
      return { ...field, unconfirmed: `reads as ${copied.stem} does, which stands in code or tables: a copy of it` };
    }
    if (region.role === "calibration") {
      if (numbered) return { ...field, belongsTo: "calibration" };
      numbered = true;
      return {
        ...field,
        stem: "calibration-number",
        means: "calibration-number",
        unconfirmed: "goes with the software and stands in its tables, the first of its kind there",
      };
    }
    if (region.role === "identity" && ownInEachPair(family, field.span)) {
      return {
        ...field,
        stem: "machine-number",
        means: "machine-number",
        unconfirmed:
          "the same in both units of a machine and another one in each machine, beside the numbers of the unit: compare it with the papers",
      };
    }
    return field;
  });
}

function valuesOf(family: Family, span: Span): string[] {
  return family.units.map((_, unit) =>
    latin1(bytesAt(family, firstRead(family, unit), span) ?? new Uint8Array(0)).trimEnd(),
  );
}

function sameValues(family: Family, a: Span, b: Span): boolean {
  const [one, other] = [valuesOf(family, a), valuesOf(family, b)];
  return one.every((value, i) => value === other[i]);
}

function ownInEachPair(family: Family, span: Span): boolean {
  const values = valuesOf(family, span);
  const machines = family.pairs.map(({ left, right }) => (values[left] === values[right] ? values[left] : undefined));
  return machines.length > 1 && !machines.includes(undefined) && new Set(machines).size === machines.length;
}

const version = /\bBOOT(?:LOADER)?[ :_-]*(?:V|VER|VERSION)?[ .:]*([0-9]+(?:\.[0-9]+)+)/i;

/** The version behind the word with which start code names itself, where every read has one of one form there. */
export function bootVersionIn(family: Family, { content }: RoledPiece): DraftedField[] {
  const bytes = content && bytesAt(family, 0, content);
  if (!content || !bytes) return [];
  const text = latin1(bytes.map((byte) => (isPrintable(byte) ? byte : 0)));
  const found = version.exec(text);
  if (!found) return [];
  const number = found[1] as string;
  const start = content.start + found.index + found[0].length - number.length;
  const span = { start, end: start + number.length };
  const pattern = shapeOf(valuesOf(family, span));
  if (pattern === undefined) return [];
  return [
    {
      span,
      stem: "boot-version",
      means: "boot-version",
      way: "constant",
      form: { type: "text", length: number.length, pattern },
      because: `${new Set(valuesOf(family, span)).size} values of one form behind the word boot`,
      unconfirmed: "the number behind the word boot; that it is the version is what it looks like",
    },
  ];
}

/** So much of the head of a program is looked at for where other parts begin. */
const head = 256;

/** Words in the head of code that say where another part begins, in every read. */
export function pointersIn(family: Family, region: RoledPiece, regions: readonly RoledPiece[]): DraftedField[] {
  const { content } = region;
  if (!content) return [];
  const targets = regions.filter((other) => other !== region && other.content && other.span.start >= 256);
  const fields: DraftedField[] = [];
  const end = Math.min(content.end, content.start + head);
  for (let start = content.start + ((4 - (content.start % 4)) % 4); start + 4 <= end; start += 4) {
    const span = { start, end: start + 4 };
    const words = family.reads.map((_, read) => bytesAt(family, read, span) as Uint8Array);
    for (const order of ["big", "little"] as const) {
      const target = targets.find((other) => words.every((word) => readUint(word, order) === other.span.start));
      if (!target || fields.some(({ stem }) => stem === `${target.role}-start`)) continue;
      fields.push({
        span,
        stem: `${target.role}-start`,
        way: "constant",
        form: { type: "unsigned", length: 4, order, show: "hex" },
        because: `where the part ${target.role} begins, in all reads`,
      });
    }
  }
  return fields;
}

/** A text that stands alone in erased memory and is the same in all reads: a mark of the family. */
export function markIn(family: Family, { content, looks, block }: RoledPiece): DraftedField[] {
  if (!content || block || looks.ways.constant !== lengthOf(content) || lengthOf(content) < 8 || lengthOf(content) > 64)
    return [];
  const bytes = bytesAt(family, 0, content) as Uint8Array;
  if (![...bytes].every(isPrintable)) return [];
  return [
    {
      span: content,
      stem: "mark",
      way: "constant",
      form: { type: "text", length: bytes.length, equals: latin1(bytes) },
      because: "alone in erased memory, the same in all reads",
      unconfirmed: "the same in these reads: whether every unit of the family has it",
    },
  ];
}

/** `fields` without those that meet one before them. */
export function apart(fields: readonly DraftedField[]): DraftedField[] {
  const kept: DraftedField[] = [];
  for (const field of fields) if (!kept.some((other) => overlap(other.span, field.span))) kept.push(field);
  return kept;
}
