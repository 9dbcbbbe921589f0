import { toHex } from "../bytes/hex.js";
import { contains, overlap, type Span } from "../bytes/span.js";
import { latin1 } from "../bytes/text.js";
import { counted } from "../findings/amounts.js";
import type { ProfileDocument } from "../profile/schema/profile.js";
import type { DraftedChecksum } from "./checksums.js";
import { bytesAt, type Family, firstRead, type Stretch } from "./family.js";
import type { DraftedField } from "./fields.js";
import { clusters, type Relation, relationsIn } from "./relations.js";
import type { RoledPiece } from "./roles.js";
import type { Variation } from "./variation.js";
import { writtenSpan } from "./written.js";

type PairDocument = NonNullable<ProfileDocument["pair"]>;
export type PairRuleDocument = NonNullable<PairDocument["rules"]>[number];

/** A named part of the profile that rules may speak of. */
export interface Named<Of> {
  readonly name: string;
  readonly of: Of;
}

/** How the two units of a machine relate, as far as the told pairs speak for it. */
export interface DraftedPairing {
  readonly pair: PairDocument;
  /** Runs that differ in code or tables of a told pair, which no rule excuses. */
  readonly unexcused: readonly Span[];
}

/** What code and tables hold is the same in both units, or tied to a side: never free. */
const strict: readonly RoledPiece["role"][] = ["boot", "program", "calibration"];
const mostRules = 200;
/** Where so many bytes differ the two units are no mirrored pair. */
const mostCompared = 8192;
/** Values of so many bytes may be a number or a key of the unit's own: one pair does not tell, and they are not written. */
const shortestKey = 3;
/** So much of a part differs without a relation when it is a store of the unit's own. */
const ownShare = 0.3;

export function pairingOf(
  family: Family,
  variations: readonly Variation[],
  regions: readonly Named<RoledPiece>[],
  fields: readonly Named<DraftedField>[],
  checksums: readonly DraftedChecksum[],
): DraftedPairing | undefined {
  if (family.pairs.length === 0) return undefined;
  const rules: PairRuleDocument[] = [];
  const unexcused: Span[] = [];
  const side = fields.find(({ of }) => of.stem === "side");
  const excused = [
    ...checksums.map(({ storedAt }) => storedAt),
    ...fields.flatMap(({ of }) => (of.belongsTo === "unit" || of.means === "serial-number" ? [of.span] : [])),
  ];
  for (const [i, variation] of variations.entries()) {
    const stretch = family.stretches[i] as Stretch;
    const differs = (address: number) => {
      const way = variation.at(address);
      return way !== "constant" && way !== "volatile" && way !== "machine" && !same(family, stretch, address);
    };
    for (const region of regions.filter(({ of }) =>
      overlap(of.span, { start: stretch.start, end: stretch.start + stretch.length }),
    )) {
      const { piece, differing } = differingIn(region.of, differs, excused);
      if (differing.length === 0 || region.of.role === "adaptation") continue;
      const made = rulesOfRegion(family, stretch, variation, region, piece, differing, side);
      rules.push(...made.rules);
      unexcused.push(...made.unexcused);
    }
  }
  const serials = fields.filter(({ of }) => of.means === "serial-number");
  for (const { name } of serials) {
    rules.push({
      name: `own-${name}`,
      rule: "distinct",
      over: [{ field: name }],
      why: "each unit has its own",
      $comment: `different in ${counted(family.pairs.length, "pair")}`,
      ...once(family),
    });
  }
  return {
    pair: {
      sides: {
        left: "left",
        right: "right",
        ...(side && sideValues(family, side)),
        ...once(family),
      },
      rules: rules.slice(0, mostRules),
    },
    unexcused,
  };
}

/** With one pair everything that differs is one value on each side: nothing tells what the side has to do with it. */
function once({ pairs }: Family): { unconfirmed?: string } {
  return pairs.length > 1 ? {} : { unconfirmed: "seen in one pair only: a second machine has to show it too" };
}

function sideValues(family: Family, { name, of }: Named<DraftedField>) {
  const pair = family.pairs[0] as Family["pairs"][number];
  const value = (unit: number) => latin1(bytesAt(family, firstRead(family, unit), of.span) as Uint8Array);
  return { field: name, values: { left: value(pair.left), right: value(pair.right) } };
}

/** Whether both units of every pair hold the same at `address`. */
function same(family: Family, { start, contents }: Stretch, address: number): boolean {
  const value = (unit: number) => contents[firstRead(family, unit)]?.[address - start];
  return family.pairs.every(({ left, right }) => value(left) === value(right));
}

function differingIn(piece: RoledPiece, differs: (address: number) => boolean, excused: readonly Span[]) {
  const differing: number[] = [];
  for (let address = piece.span.start; address < piece.span.end; address++) {
    if (differs(address) && !excused.some((span) => contains(span, { start: address, end: address + 1 }))) {
      differing.push(address);
    }
  }
  return { piece: piece.span, differing };
}

function rulesOfRegion(
  family: Family,
  stretch: Stretch,
  variation: Variation,
  region: Named<RoledPiece>,
  piece: Span,
  differing: readonly number[],
  side: Named<DraftedField> | undefined,
): { rules: PairRuleDocument[]; unexcused: Span[] } {
  const rules: PairRuleDocument[] = [];
  const unexcused: Span[] = [];
  const support = `in ${counted(family.pairs.length, "pair")}`;
  const name = (stem: string) => `${region.name}-${stem}-${rules.length + 1}`;
  const twins = family.pairs.map(({ left, right }) => {
    const content = (unit: number) =>
      stretch.contents[firstRead(family, unit)]?.subarray(
        piece.start - stretch.start,
        piece.end - stretch.start,
      ) as Uint8Array;
    return { left: content(left), right: content(right) };
  });
  if (region.of.role === "immobiliser") {
    const over = [{ region: region.name }];
    rules.push({
      name: name("own"),
      rule: "distinct",
      over,
      why: "each unit has its own",
      $comment: support,
      ...once(family),
    });
    return { rules, unexcused };
  }
  const open = new Set(differing);
  const drop = (span: Span) => {
    for (const at of open) if (at >= span.start && at < span.end) open.delete(at);
  };
  if (side && open.has(side.of.span.start)) {
    rules.push(perSide(family, name("side"), [{ field: side.name }], side.of.span, "tells the side"));
    drop(side.of.span);
  }
  const offsets = differing.length <= mostCompared ? [...open].map((at) => at - piece.start) : [];
  for (const relation of relationsIn(twins, offsets)) {
    const over = moved(relation.over, piece.start);
    rules.push({
      ...writtenRelation(relation, piece.start, name),
      $comment: `holds ${support}`,
      ...once(family),
    } as PairRuleDocument);
    drop(over);
    if (relation.kind === "exchanged") drop(moved(relation.with, piece.start));
  }
  const sided = (at: number) => variation.at(at) === "side" || family.pairs.length === 1;
  const still = (at: number) => variation.at(at) === "constant" || sided(at);
  // In what is each unit's own, a byte that goes with the side does so by chance.
  const own = !region.of.block && open.size >= Math.max(16, ownShare * region.of.looks.content);
  for (const run of !own ? clusters([...open].filter(sided), 4) : []) {
    if (![...Array(run.end - run.start).keys()].every((i) => still(run.start + i))) continue;
    drop(run);
    const over = [writtenSpan(run)];
    if (family.pairs.length === 1 && run.end - run.start >= shortestKey && !strict.includes(region.of.role)) {
      rules.push({
        name: name("own"),
        rule: "distinct",
        over,
        why: "another value in each of the two units",
        $comment: support,
        unconfirmed:
          "seen in one pair only: a second machine tells whether the side demands these values or they are each unit's own",
      });
      continue;
    }
    const side = perSide(family, name("side"), over, run, "one value on each side");
    const reasons = [...(side.unconfirmed ? [side.unconfirmed] : []), partOfWord];
    rules.push(isPartOfWord(variation, run) ? { ...side, unconfirmed: reasons.join("; ") } : side);
  }
  if (open.size === 0) return { rules, unexcused };
  const left = clusters([...open], 1);
  if (strict.includes(region.of.role)) return { rules, unexcused: left };
  rules.push({
    name: name("free"),
    rule: "free",
    over: own ? [{ region: region.name }] : left.slice(0, 64).map(writtenSpan),
    why: "differs between the two units and no relation was found",
    $comment: `${counted(open.size, "byte")} differ ${support}`,
    unconfirmed: own
      ? "each unit's own by its looks, as far as the region reaches; a second read of one unit tells whether it writes this by itself"
      : "what has no rule yet may have one: until a person says why, nobody vouches for these bytes",
  });
  return { rules, unexcused: own ? [] : left.slice(64) };
}

const partOfWord =
  "beside a byte of the same word that varies otherwise: part of a number or of a stored sum may look like this";

/** Whether a byte beside `run`, in the same aligned word of 4 bytes, varies with something else than the side. */
function isPartOfWord(variation: Variation, { start, end }: Span): boolean {
  const otherwise = (at: number) =>
    at >= variation.start && at < variation.end && !["constant", "side"].includes(variation.at(at));
  return (start % 4 !== 0 && otherwise(start - 1)) || (end % 4 !== 0 && otherwise(end));
}

function moved({ start, end }: Span, by: number): Span {
  return { start: start + by, end: end + by };
}

function perSide(
  family: Family,
  name: string,
  over: PairRuleDocument["over"],
  span: Span,
  why: string,
): PairRuleDocument {
  const pair = family.pairs[0] as Family["pairs"][number];
  const value = (unit: number) => toHex(bytesAt(family, firstRead(family, unit), span) as Uint8Array);
  const [left, right] = [value(pair.left), value(pair.right)];
  const turned = [...left].every(
    (digit, i) => Number.parseInt(digit, 16) + Number.parseInt(right[i] as string, 16) === 15,
  );
  return {
    name,
    rule: "per-side",
    over,
    values: { left, right },
    why,
    $comment: `the same values in ${counted(family.pairs.length, "pair")}${turned ? "; each is the complement of the other" : ""}`,
    ...once(family),
  };
}

function writtenRelation(relation: Relation, base: number, name: (stem: string) => string) {
  const over = [writtenSpan(moved(relation.over, base))];
  switch (relation.kind) {
    case "complement":
      return {
        name: name("complement"),
        rule: "complement",
        over,
        why: "every bit is the other way in the other unit",
      };
    case "exchanged":
      return {
        name: name("exchanged"),
        rule: "exchanged",
        over,
        with: [writtenSpan(moved(relation.with, base))],
        why: "the two places change between the sides",
      };
    case "reordered":
      return {
        name: name("reordered"),
        rule: "reordered",
        over,
        element: relation.element,
        order: [...relation.order],
        why: `the same ${counted(relation.order.length, "element")} of ${counted(relation.element, "byte")} in another order`,
      };
  }
}
