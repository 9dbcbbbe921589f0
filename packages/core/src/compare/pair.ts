import type { Accelerators } from "../algorithms/algorithm.js";
import { toHex } from "../bytes/hex.js";
import { common, intersection, normalised, type Span, sameSpans, subtract, totalLength } from "../bytes/span.js";
import { type Difference, differenceOf, differingSpansBut } from "../image/difference.js";
import type { Meaning } from "../profile/schema/field.js";
import { ownedRoles, type Role } from "../profile/schema/region.js";
import { isErased } from "../unit/blank.js";
import { differOnlyInField } from "../unit/field.js";
import { type SideReading, type Sides, sideNames, sideOf, sidesToCompare } from "../unit/side.js";
import type { Unit } from "../unit/unit.js";
import { type Compared, comparedIn } from "./compared.js";
import { type Explanation, explanationsOf } from "./explanation.js";
import { followedChecksums } from "./followed.js";
import type { FollowingChecksum } from "./following.js";
import { type PairRuleReading, readPairRule } from "./pair-rules.js";
import { type DifferingPiece, piecesOf } from "./pieces.js";
import { type UnlearntRegion, unlearntIn } from "./unlearnt.js";

/** A field that the two units state each for itself. */
export interface FieldPairing {
  readonly name: string;
  readonly means: Meaning | undefined;
  readonly span: Span | undefined;
  /** `spoken-for`: a rule of the pairing decides here. */
  readonly status: "equal" | "different" | "untold" | "spoken-for";
  readonly left: string | undefined;
  readonly right: string | undefined;
}

/** What differs without a reason in one region, or outside all of them. */
export interface RegionDifference {
  readonly region: string | undefined;
  readonly role: Role | undefined;
  readonly bytes: number;
  readonly runs: number;
  /** The first runs, in address order. */
  readonly first: readonly [Span, ...Span[]];
  /** The bytes of the very first run as hex; undefined where a region's content is not for showing. */
  readonly left: string | undefined;
  readonly right: string | undefined;
}

/** What one unit knows and the other does not, in one region or outside all of them. */
export interface OneSided {
  readonly knownIn: "left" | "right";
  readonly region: string | undefined;
  readonly role: Role | undefined;
  readonly bytes: number;
  readonly first: Span;
  /** Whether all of it reads as erased memory: files of records often leave such rows out. */
  readonly erased: boolean;
}

/** Everything that was measured about two units of a pair. */
export interface PairComparison {
  readonly names: Sides;
  readonly sides: { readonly left: SideReading; readonly right: SideReading };
  readonly paired: boolean;
  readonly difference: Difference;
  /** Free is what a rule frees, and what both write by themselves. */
  readonly compared: Compared;
  readonly rules: readonly PairRuleReading[];
  readonly pieces: readonly DifferingPiece[];
  readonly fields: readonly FieldPairing[];
  readonly regions: readonly RegionDifference[];
  readonly oneSided: readonly OneSided[];
  /** Regions that lie at different places in the two units. */
  readonly moved: readonly string[];
  /** Regions of what a unit learns that hold one value in the named unit, and something in the other. */
  readonly unlearnt: readonly (UnlearntRegion & { readonly unit: "left" | "right" })[];
  /** Regions that the profile has and that were compared over all their bytes. */
  readonly comparedRegions: number;
}

/** Runs that a finding names at the most. */
const runsNamed = 8;

/**
 * Two units of one profile, held against each other. `checksums` are those of the left unit; `accepted` is where they may
 * differ for a reason that neither of them tells.
 */
export function comparePair(
  left: Unit,
  right: Unit,
  checksums: readonly FollowingChecksum[],
  accepted: readonly Explanation[] = [],
  accelerators: Accelerators = {},
): PairComparison {
  const pairing = left.profile.pair;
  const names = sideNames(pairing);
  const sides = { left: sideOf(left), right: sideOf(right) };
  const difference = differenceOf(left.image, right.image, accelerators);
  const compareAs = sidesToCompare(sides.left, sides.right, names);
  const rules = (pairing?.rules ?? []).map((rule) => readPairRule(rule, left, right, compareAs));
  const volatile = common(left.volatile, right.volatile);
  const free = rules.filter(({ rule, status }) => rule !== "same" && status === "holds").flatMap(({ over }) => over);
  const same = rules.filter(({ rule }) => rule === "same").flatMap(({ over }) => over);
  const apart = subtract([...free, ...volatile], same);
  const runs = differingSpansBut(apart, difference, left.image, right.image, accelerators);
  const explanations = explanationsOf(left, right, rules, runs, checksums, accepted);
  const pieces = piecesOf(runs, left.regions, explanations);
  const fields = pairFields(left, right, rules);
  const numbers = fields.flatMap(({ status, span, means }) =>
    status === "different" && means && span && isJudged(means) ? [span] : [],
  );
  const claimed = [
    // One that could not be asked says why a difference may be meant; "same" never does.
    ...rules.filter(({ rule, status }) => status !== "holds" && rule !== "same").flatMap(({ over }) => over),
    ...numbers,
    ...sideFieldSpan(left, right),
    ...(numbers.length > 0 ? checksumsBehind(numbers, explanations, rules, runs, checksums) : []),
  ];
  return {
    names,
    sides,
    paired: pairing !== undefined,
    difference,
    compared: comparedIn(left.image, right.image, left.regions, [
      ...rules.filter(({ rule }) => rule === "free").flatMap(({ over }) => over),
      ...volatile,
    ]),
    rules,
    pieces,
    fields,
    regions: unexplained(left, right, pieces, claimed),
    oneSided: oneSided(left, right, difference),
    unlearnt: [
      ...unlearntIn(right, left, left.profile.memory.erased).map((one) => ({ ...one, unit: "left" as const })),
      ...unlearntIn(left, right, left.profile.memory.erased).map((one) => ({ ...one, unit: "right" as const })),
    ],
    moved: left.regions.flatMap((region, i) =>
      sameSpans(region.spans, right.regions[i]?.spans ?? []) ? [] : [region.name],
    ),
    comparedRegions: left.regions.filter(
      (region, i) =>
        region.spans.length > 0 &&
        sameSpans(region.spans, right.regions[i]?.spans ?? []) &&
        totalLength(subtract(region.spans, common(left.image.spans, right.image.spans))) === 0,
    ).length,
  };
}

/** Meanings of fields whose difference is judged as that of a number, and not once more as one of bytes. */
export const judgedMeanings = [
  "hardware-number",
  "software-number",
  "calibration-number",
  "boot-version",
  "part-number",
  "machine-number",
  "build",
] as const satisfies readonly Meaning[];

/** Where stored checksums differ that follow from nothing but `numbers` and what is explained. */
function checksumsBehind(
  numbers: readonly Span[],
  explanations: readonly Explanation[],
  rules: readonly PairRuleReading[],
  differing: readonly Span[],
  checksums: readonly FollowingChecksum[],
): readonly Span[] {
  const explained = normalised([...numbers, ...explanations.flatMap(({ spans }) => spans)]);
  const closed = rules.filter(({ rule, status }) => rule === "same" || status !== "holds").flatMap(({ over }) => over);
  return followedChecksums(checksums, differing, { explained, closed }).flatMap(({ spans }) => spans);
}

function isJudged(meaning: Meaning): boolean {
  return (judgedMeanings as readonly Meaning[]).includes(meaning);
}

/** What a unit says of its side is judged by the rules on sides, not once more as a difference. */
function sideFieldSpan(left: Unit, right: Unit): readonly Span[] {
  const name = left.profile.pair?.sides?.field;
  return left.fields.flatMap((reading, i) =>
    reading.field.name === name && "span" in reading && differOnlyInField(reading, right.fields[i])
      ? [reading.span]
      : [],
  );
}

function pairFields(left: Unit, right: Unit, rules: readonly PairRuleReading[]): FieldPairing[] {
  const sideField = left.profile.pair?.sides?.field;
  return left.fields.flatMap((reading, i): FieldPairing[] => {
    const twin = right.fields[i];
    const { field } = reading;
    if (!twin || field.name === sideField) return [];
    if (reading.status === "not-applicable" && twin.status === "not-applicable") return [];
    const shown = (one: typeof reading) => ("shown" in one ? one.shown : undefined);
    const span = "span" in reading ? reading.span : undefined;
    // A rule that two values must be distinct says what the meaning "serial number" says anyway.
    const deciding = rules.filter(({ rule }) => rule !== "distinct" || field.means !== "serial-number");
    const spoken = deciding.some((rule) => rule.over.some((over) => span && intersection(over, span)));
    const [a, b] = [shown(reading), shown(twin)];
    // Two places that nothing was written to hold no value that could be the same.
    const blank = [reading, twin].every((one) => one.status === "wrong" && one.fault === "erased");
    const status = a === undefined || b === undefined || blank ? "untold" : a === b ? "equal" : "different";
    return [{ name: field.name, means: field.means, span, left: a, right: b, status: spoken ? "spoken-for" : status }];
  });
}

function unexplained(
  left: Unit,
  right: Unit,
  pieces: readonly DifferingPiece[],
  claimed: readonly Span[],
): RegionDifference[] {
  const byRegion = new Map<DifferingPiece["region"], Span[]>();
  for (const piece of pieces) {
    if (piece.rule !== undefined) continue;
    const rest = subtract([piece.span], claimed);
    if (rest.length === 0) continue;
    const list = byRegion.get(piece.region) ?? [];
    list.push(...rest);
    byRegion.set(piece.region, list);
  }
  return [...byRegion].map(([region, spans]): RegionDifference => {
    const first = spans[0] as Span;
    const shown = { start: first.start, end: Math.min(first.end, first.start + 8) };
    // What concerns an owner is never shown.
    const hidden = region !== undefined && ownedRoles.includes(region.role);
    const bytes = (unit: Unit) => (hidden ? undefined : toHex(unit.image.read(shown) ?? new Uint8Array(0)));
    return {
      region: region?.name,
      role: region?.role,
      bytes: totalLength(spans),
      runs: spans.length,
      first: [first, ...spans.slice(1, runsNamed)],
      left: bytes(left),
      right: bytes(right),
    };
  });
}

function oneSided(left: Unit, right: Unit, difference: Difference): OneSided[] {
  const volatile = common(left.volatile, right.volatile);
  const regions = [...left.regions, { name: undefined, role: undefined, spans: outside(left) }];
  return regions.flatMap(({ name, role, spans }) =>
    [["left", difference.onlyFirst] as const, ["right", difference.onlySecond] as const].flatMap(([knownIn, only]) => {
      const here = subtract(common(spans, only), volatile);
      const first = here[0];
      const erased = isErased(knownIn === "left" ? left : right, here);
      return first ? [{ knownIn, region: name, role, bytes: totalLength(here), first, erased }] : [];
    }),
  );
}

function outside(unit: Unit): readonly Span[] {
  return subtract(
    [{ start: 0, end: 2 ** 32 }],
    unit.regions.flatMap(({ spans }) => spans),
  );
}
