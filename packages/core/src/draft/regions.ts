import { intersection, lengthOf, type Span } from "../bytes/span.js";
import { counted } from "../findings/amounts.js";
import type { ProfileDocument } from "../profile/schema/profile.js";
import type { DraftedChecksum } from "./checksums.js";
import { countersIn } from "./counters.js";
import type { Family } from "./family.js";
import { apart, bootVersionIn, markIn, meantIn, pointersIn } from "./field-meanings.js";
import { type DraftedField, fieldsIn } from "./fields.js";
import { type Piece, piecesIn } from "./pieces.js";
import { isLike, looksOf, type RoledPiece, roleOf, shares } from "./roles.js";
import { runsOf } from "./runs.js";
import type { Variation } from "./variation.js";
import { writtenSpan } from "./written.js";

export type RegionDocument = ProfileDocument["regions"][number];

/** The parts of the memory with their roles, and the fields in them. */
export interface DraftedRegions {
  readonly regions: readonly RoledPiece[];
  readonly fields: readonly DraftedField[];
  /** Runs that change between reads of one unit, in regions that do not change by themselves as a whole. */
  readonly volatile: readonly Span[];
  /** Runs of code or tables that differ between reads of one unit: those reads are not sound. */
  readonly unsound: readonly Span[];
}

/** A profile has room for 256 regions; more parts than this are taken together. */
const mostRegions = 200;

export function regionsIn(
  family: Family,
  variations: readonly Variation[],
  checksums: readonly DraftedChecksum[],
): DraftedRegions {
  const fields: DraftedField[] = [];
  const regions: RoledPiece[] = [];
  for (const variation of variations) {
    const texts = new Map<number, readonly DraftedField[]>();
    const roled = piecesIn(variation, checksums).map((piece): RoledPiece => {
      const { content } = piece;
      if (!content) return blank(piece, family);
      const looks = looksOf(family, variation, content);
      const code = isLike(looks, "code") || lengthOf(content) >= 8192;
      const own = fieldsIn(family, variation, content, code);
      const numbers = own.some(
        ({ means }) => means === "serial-number" || means === "machine-number" || means === "part-number",
      );
      const made = roleOf(family, variation, { ...piece, content }, { numbers });
      texts.set(made.span.start, own);
      return made;
    });
    const made = merged(withMarks(family, withNeighbours(withProgram(roled))));
    const textsOf = ({ span }: RoledPiece) =>
      [...texts].flatMap(([start, own]) => (start >= span.start && start < span.end ? own : []));
    const elsewhere = made.filter(({ role }) => still.includes(role)).flatMap(textsOf);
    for (const region of made) fields.push(...fieldsOf(family, variation, region, textsOf(region), elsewhere, made));
    regions.push(...made);
  }
  const kept = regions.length <= mostRegions ? regions : regions.slice(0, mostRegions);
  const volatile: Span[] = [];
  const unsound: Span[] = [];
  for (const region of kept) {
    const variation = variations.find(({ start, end }) => intersection({ start, end }, region.span)) as Variation;
    if (region.role === "adaptation") continue;
    const runs = runsOf(region.span, (address) => variation.at(address) === "volatile");
    (still.includes(region.role) ? unsound : volatile).push(...runs);
  }
  return { regions: kept, fields, volatile, unsound };
}

/** The fields of a region, by its role. What a key holds is no text. */
function fieldsOf(
  family: Family,
  variation: Variation,
  region: RoledPiece,
  texts: readonly DraftedField[],
  elsewhere: readonly DraftedField[],
  regions: readonly RoledPiece[],
): DraftedField[] {
  const { role, content } = region;
  if (role === "immobiliser" || !content) return [];
  if (role === "spare") return markIn(family, region);
  if (role === "adaptation") return countersIn(family, variation, content);
  if (role === "coding" || role === "identity") {
    const own = meantIn(family, region, texts, elsewhere);
    return apart([...own, ...markIn(family, region), ...countersIn(family, variation, content)]);
  }
  const own =
    role === "calibration"
      ? meantIn(
          family,
          region,
          texts,
          elsewhere.filter((one) => !texts.includes(one)),
        )
      : texts;
  const head =
    role === "boot" ? bootVersionIn(family, region) : role === "program" ? pointersIn(family, region, regions) : [];
  return apart([...head, ...own]);
}

function blank(piece: Piece, { reads }: Family): RoledPiece {
  return {
    ...piece,
    role: "spare",
    because: `erased in all ${counted(reads.length, "read")}`,
    unconfirmed: "erased in these reads; whether nothing uses it is not told",
    looks: {
      content: 0,
      kinds: { hole: 0, fill: lengthOf(piece.span), text: 0, code: 0, table: 0, dense: 0, data: 0 },
      ways: { constant: 0, volatile: 0, side: 0, release: 0, machine: 0, unit: 0 },
    },
  };
}

/** A mark that stands alone in erased memory is part of that. */
function withMarks(family: Family, pieces: readonly RoledPiece[]): RoledPiece[] {
  return pieces.map((piece, i) => {
    const beside = pieces[i - 1]?.role === "spare" || pieces[i + 1]?.role === "spare";
    if (!beside || markIn(family, piece).length === 0) return piece;
    return {
      ...piece,
      role: "spare",
      because: "erased in all reads, with a mark in it",
      unconfirmed: "erased in these reads; whether nothing uses it is not told",
    };
  });
}

/** Where all code calls itself boot, the word tells nothing. */
function withProgram(pieces: readonly RoledPiece[]): readonly RoledPiece[] {
  if (pieces.some(({ role }) => role === "program")) return pieces;
  return pieces.map((piece) =>
    piece.role === "boot"
      ? { ...piece, role: "program", unconfirmed: "it calls itself boot, as all code here does: taken for the program" }
      : piece,
  );
}

/** Small parts of no known look, amid code or tables under the same checksum, are of what surrounds them. */
function withNeighbours(pieces: readonly RoledPiece[]): RoledPiece[] {
  return pieces.map((piece) => {
    if (piece.role !== "coding" || !piece.block) return piece;
    const { ways } = piece.looks;
    if (ways.unit + ways.side + ways.volatile > 0) return piece;
    const around = pieces
      .filter(({ block, role }) => block === piece.block && still.includes(role))
      .sort((a, b) => b.looks.content - a.looks.content)[0];
    return around && around.looks.content > piece.looks.content
      ? { ...piece, role: around.role, because: around.because, unconfirmed: around.unconfirmed }
      : piece;
  });
}

/** What a unit never changes by itself. */
const still: readonly RoledPiece["role"][] = ["boot", "program", "calibration"];

/** Neighbours of one role under one checksum, or under none both erased, are one region. */
function merged(pieces: readonly RoledPiece[]): RoledPiece[] {
  const regions: RoledPiece[] = [];
  for (const piece of pieces) {
    const last = regions.at(-1);
    const together =
      last &&
      last.role === piece.role &&
      last.span.end === piece.span.start &&
      last.block === piece.block &&
      (piece.block !== undefined || piece.role === "spare");
    if (!together) regions.push(piece);
    else {
      const content =
        last.content && piece.content
          ? { start: last.content.start, end: piece.content.end }
          : (last.content ?? piece.content);
      const looks = {
        content: last.looks.content + piece.looks.content,
        kinds: sum(last.looks.kinds, piece.looks.kinds),
        ways: sum(last.looks.ways, piece.looks.ways),
      };
      regions[regions.length - 1] = { ...last, span: { start: last.span.start, end: piece.span.end }, content, looks };
    }
  }
  return regions;
}

function sum<Key extends string>(
  a: Readonly<Record<Key, number>>,
  b: Readonly<Record<Key, number>>,
): Record<Key, number> {
  return Object.fromEntries(Object.entries<number>(a).map(([key, value]) => [key, value + b[key as Key]])) as Record<
    Key,
    number
  >;
}

/** Names by role, with a number behind all but the first of one role. */
export function namesByStem(stems: readonly string[], taken: ReadonlySet<string> = new Set()): string[] {
  const used = new Set(taken);
  return stems.map((stem) => {
    let name = stem;
    for (let number = 2; used.has(name); number++) name = `${stem}-${number}`;
    used.add(name);
    return name;
  });
}

/** Spans that one region has room for. */
const mostSpans = 64;

/** The regions as a profile writes them: all erased memory as one, so that rows left out of a hex file are known to be. */
export function writtenRegions(regions: readonly RoledPiece[], names: readonly string[]): RegionDocument[] {
  const spare = regions.filter(({ role }) => role === "spare").map(({ span }) => writtenSpan(span));
  return regions.flatMap((region, i) => {
    const written = writtenRegion(region, names[i] as string);
    if (region.role !== "spare") return [written];
    const before = regions.slice(0, i).filter(({ role }) => role === "spare").length;
    return before % mostSpans === 0 ? [{ ...written, over: spare.slice(before, before + mostSpans) }] : [];
  });
}

function writtenRegion({ role, span, because, unconfirmed, looks }: RoledPiece, name: string): RegionDocument {
  return {
    name,
    role,
    over: [writtenSpan(span)],
    ...(unconfirmed !== undefined && { unconfirmed }),
    $comment: role === "spare" ? because : `${because}, ${shares(looks)}`,
  };
}
