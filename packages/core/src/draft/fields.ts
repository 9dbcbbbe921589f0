import { contains, lengthOf, overlap, type Span } from "../bytes/span.js";
import { isPrintable, latin1 } from "../bytes/text.js";
import { counted } from "../findings/amounts.js";
import { findMachineNumbers } from "../identity/find-machine-numbers.js";
import type { Belonging, Meaning } from "../profile/schema/field.js";
import type { ProfileDocument } from "../profile/schema/profile.js";
import { bytesAt, type Family } from "./family.js";
import { runsOf } from "./runs.js";
import type { Variation, Way } from "./variation.js";
import { hexAddress } from "./written.js";

export type FieldDocument = NonNullable<ProfileDocument["fields"]>[number];

/** A value at a place that the reads speak for. */
export interface DraftedField {
  readonly span: Span;
  /** What it is, for a name: `serial-number`, `date` ... */
  readonly stem: string;
  readonly means?: Meaning;
  readonly belongsTo?: Belonging;
  readonly form: Record<string, unknown> & { readonly type: FieldDocument["type"] };
  /** How its values vary. */
  readonly way: Way;
  readonly because: string;
  readonly unconfirmed?: string;
}

const longestText = 64;
const shortestText = 3;

/** Numbers and texts in `content`; `code` says that it is code, in which only what looks like a number counts. */
export function fieldsIn(family: Family, variation: Variation, content: Span, code: boolean): DraftedField[] {
  const texts = textsIn(family, variation, content).flatMap((text) => textField(family, content, text, code) ?? []);
  const dates = code
    ? []
    : datesIn(family, variation, content).filter(({ span }) => !texts.some((one) => overlap(one.span, span)));
  return [...texts, ...dates].sort((a, b) => a.span.start - b.span.start);
}

interface Text {
  readonly span: Span;
  /** One for each read, without what fills its end. */
  readonly values: readonly string[];
  readonly padding: string | undefined;
  readonly way: Way;
}

/** Texts that every read has at the same place, cut where one ends in blanks and where another way to vary begins. */
function textsIn(family: Family, variation: Variation, content: Span): Text[] {
  const reads = family.reads.map((_, read) => bytesAt(family, read, content) as Uint8Array);
  const printable = (address: number) => reads.every((bytes) => isPrintable(bytes[address - content.start] as number));
  const blank = (address: number) => reads.every((bytes) => bytes[address - content.start] === 0x20);
  return runsOf(content, printable)
    .flatMap((run) => words(run, blank, (address) => goesWithSide(family, variation, address)))
    .filter((span) => lengthOf(span) <= longestText)
    .map((span) => {
      const values = reads.map((bytes) =>
        latin1(bytes.subarray(span.start - content.start, span.end - content.start)).trimEnd(),
      );
      const padded = values.some((value) => value.length < lengthOf(span));
      return { span, values, padding: padded ? "20" : undefined, way: wayOf(variation, span) };
    });
}

/** Whether one letter of a text may be the side's: it varies as no neighbour does. */
function goesWithSide({ pairs }: Family, variation: Variation, address: number): boolean {
  const way = variation.at(address);
  if (way === "side") return true;
  const still = (at: number) => at < variation.start || at >= variation.end || variation.at(at) !== "unit";
  return pairs.length === 1 && way === "unit" && still(address - 1) && still(address + 1);
}

/** `run` cut behind blanks that fill an end: two in a row, or one before what is no word. */
function words(run: Span, blank: (address: number) => boolean, side: (address: number) => boolean): Span[] {
  const cuts = [run.start];
  for (let address = run.start + 1; address < run.end; address++) {
    const afterFill = blank(address - 1) && !blank(address) && (blank(address - 2) || address % 4 === 0);
    if (afterFill || side(address) !== side(address - 1)) cuts.push(address);
  }
  return cuts.map((start, i) => ({ start, end: cuts[i + 1] ?? run.end }));
}

/** The way in which most of the bytes of `span` that vary do. */
function wayOf(variation: Variation, span: Span): Way {
  const ranking: readonly Way[] = ["volatile", "unit", "side", "machine", "release"];
  const seen = new Set<Way>();
  for (let address = span.start; address < span.end; address++) seen.add(variation.at(address));
  return ranking.find((way) => seen.has(way)) ?? "constant";
}

function textField(
  family: Family,
  content: Span,
  { span, values, padding, way }: Text,
  code: boolean,
): DraftedField | undefined {
  const firsts = family.units.map(({ reads }) => values[reads[0]] as string);
  const different = new Set(firsts).size;
  const shape = shapeOf(firsts);
  const [first = ""] = firsts;
  const sided = way === "side" || (family.pairs.length === 1 && way === "unit" && different === 2);
  if (sided && lengthOf(span) === 1 && !code) {
    if (!firsts.every((value) => /^[A-Za-z]$/.test(value))) return undefined;
    return {
      span,
      stem: "side",
      means: "side",
      way,
      form: { type: "text", length: 1, oneOf: [...new Set(firsts)] },
      because: `${first} and ${[...new Set(firsts)][1]}, one on each side in ${counted(family.pairs.length, "pair")}`,
      unconfirmed: "a letter that goes with the side need not be what tells it",
    };
  }
  if (shape === undefined || first.length < shortestText) return undefined;
  const numbered = isNumberLike(first) && firsts.every((value) => isNumberLike(value));
  const header = span.start - content.start < 256;
  if (code ? !numbered || (different < 2 && !header) : !numbered && different < 2) return undefined;
  if (code && way === "unit") return undefined;
  const digits = firsts.every((value) => /^[0-9]+$/.test(value));
  const form = {
    type: digits ? ("digits" as const) : ("text" as const),
    length: lengthOf(span),
    ...(padding !== undefined && { padding }),
    pattern: shape,
  };
  const because = `${counted(different, "value")} of one form in ${counted(family.units.length, "unit")}`;
  return { span, way, form, because, ...meaningOf(family, way, different, numbered, code) };
}

type Meaningful = Pick<DraftedField, "stem" | "means" | "belongsTo" | "unconfirmed">;

/** What a text may be for, by how it varies. */
function meaningOf(family: Family, way: Way, different: number, numbered: boolean, code: boolean): Meaningful {
  const { units, pairs } = family;
  if (!numbered)
    return {
      stem: "text",
      ...(way === "unit" && { belongsTo: "unit", unconfirmed: "each unit has its own; what it is for is not told" }),
    };
  switch (way) {
    case "unit":
      return different === units.length
        ? {
            stem: "serial-number",
            means: "serial-number",
            unconfirmed: `another one in each of ${counted(units.length, "unit")}: compare it with the labels`,
          }
        : {
            stem: "number",
            belongsTo: "unit",
            unconfirmed: "differs between units and is not always another: look up what it is",
          };
    case "machine":
      return different === pairs.length && pairs.length > 1
        ? {
            stem: "machine-number",
            means: "machine-number",
            unconfirmed: `another one in each of ${counted(pairs.length, "machine")}, the same in both its units: compare it with the papers`,
          }
        : {
            stem: "number",
            unconfirmed: "the same in both units of a machine: a machine's number or part of its build",
          };
    case "release":
      return code
        ? {
            stem: "software-number",
            means: "software-number",
            unconfirmed: "goes with the software and stands in its code",
          }
        : {
            stem: "number",
            unconfirmed: "goes with the software in these reads: a software's number, a build's or a machine's",
          };
    case "constant":
      return {
        stem: "part-number",
        means: "part-number",
        unconfirmed: "looks like a part number, the same in all reads: which one is on a label",
      };
    default:
      return { stem: "number", unconfirmed: "varies in a way that does not say what it is" };
  }
}

/** Letters and digits with what joins them, at least three of them digits: as part, serial and software numbers look. */
export function isNumberLike(text: string): boolean {
  return (
    /^[A-Z0-9]+(?:[-./ _][A-Z0-9]+)*$/.test(text) &&
    text.length >= 4 &&
    text.length <= 24 &&
    (text.match(/[0-9]/g)?.length ?? 0) >= 3
  );
}

/** The form that all `values` share as a pattern, letters and digits at their places; undefined when there is none. */
export function shapeOf(values: readonly string[]): string | undefined {
  const [first = "", ...others] = values;
  if (others.some(({ length }) => length !== first.length)) return undefined;
  const parts: { set: string; count: number }[] = [];
  for (let i = 0; i < first.length; i++) {
    const characters = [...new Set(values.map((value) => value[i] as string))];
    const set = setOf(characters);
    if (set === undefined) return undefined;
    const last = parts.at(-1);
    if (last?.set === set) last.count++;
    else parts.push({ set, count: 1 });
  }
  return parts
    .map(({ set, count }) => (count === 1 ? set : set.startsWith("[") ? `${set}{${count}}` : set.repeat(count)))
    .join("");
}

function setOf(characters: readonly string[]): string | undefined {
  const all = characters.join("");
  if (/^[0-9]+$/.test(all)) return "[0-9]";
  if (characters.length === 1) return all.replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&");
  if (/^[A-Z]+$/.test(all)) return "[A-Z]";
  if (/^[A-Z0-9]+$/.test(all)) return "[A-Z0-9]";
  return /^[A-Za-z]+$/.test(all) ? "[A-Za-z]" : undefined;
}

const datePattern = "(19|20)[0-9]{2}(0[1-9]|1[0-2])(0[1-9]|[12][0-9]|3[01])";
const date = new RegExp(`^${datePattern}$`);

/** Dates of eight decimal digits, two a byte, year first, that are not the same everywhere. */
function datesIn(family: Family, variation: Variation, content: Span): DraftedField[] {
  const fields: DraftedField[] = [];
  for (let start = content.start; start + 4 <= content.end; start++) {
    const span = { start, end: start + 4 };
    const way = wayOf(variation, span);
    if (way !== "unit" && way !== "machine" && way !== "release") continue;
    const values = family.units.map(({ reads }) => digitsOf(bytesAt(family, reads[0], span) as Uint8Array));
    const different = new Set(values).size;
    if (different < 2 || !values.every((value) => date.test(value))) continue;
    fields.push({
      span,
      stem: "date",
      way,
      ...(way === "unit" ? { belongsTo: "unit" } : way === "machine" ? { belongsTo: "machine" } : {}),
      form: { type: "bcd", length: 4, pattern: datePattern },
      because: `${counted(different, "date")} in ${counted(values.length, "unit")}`,
      unconfirmed: "a date by its form; what happened on it is not told",
    });
    start += 3;
  }
  return fields;
}

function digitsOf(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Numbers of road vehicles that every read has at the same place, by their form and check digit. */
export function machineNumbersIn(family: Family, within: readonly Span[]): DraftedField[] {
  const perRead = family.reads.map(
    ({ image }) =>
      new Map(
        findMachineNumbers(image).found.flatMap(({ number, addresses, checkDigit }) =>
          addresses.map((address) => [address, { number, checkDigit }] as const),
        ),
      ),
  );
  return [...(perRead[0]?.keys() ?? [])].flatMap((start): DraftedField[] => {
    const span = { start, end: start + 17 };
    const found = perRead.map((map) => map.get(start));
    if (!found.every((one) => one !== undefined) || !within.some((region) => contains(region, span))) return [];
    const holds = found.every((one) => one?.checkDigit === "holds");
    const different = new Set(found.map((one) => one?.number)).size;
    return [
      {
        span,
        stem: "machine-number",
        means: "machine-number",
        way: different > 1 ? "machine" : "constant",
        form: { type: "text", length: 17, ...(holds && { checkDigit: "49-cfr-565" }) },
        because: `the form of ISO 3779 in all ${counted(found.length, "read")}${holds ? ", with a check digit that holds" : ""}, ${counted(different, "value")}`,
        ...(!(holds && different > 1) && { unconfirmed: "one value, or no check digit, does not make certain of it" }),
      },
    ];
  });
}

/** The field as a profile writes it. */
export function writtenField(
  { span, means, belongsTo, form, because, unconfirmed }: DraftedField,
  name: string,
): FieldDocument {
  return {
    name,
    ...(means !== undefined && { means }),
    ...(belongsTo !== undefined && { belongsTo }),
    ...form,
    at: hexAddress(span.start),
    ...(unconfirmed !== undefined && { unconfirmed }),
    $comment: because,
  } as FieldDocument;
}
