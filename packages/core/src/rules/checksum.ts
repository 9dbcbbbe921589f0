import { common, lengthOf, normalised, type Span, subtract, totalLength } from "../bytes/span.js";
import type { Coverage, UncoveredRegion } from "../checksums/coverage.js";
import { type ChecksumFacts, spansOf } from "../checksums/facts.js";
import { absenceText } from "../checksums/words.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";
import { neededRoles } from "../profile/schema/region.js";
import { type PlacedRegion, regionAt } from "../unit/unit.js";
import { judgement, type Rule } from "./rule.js";

/** What was measured of the checksums of one unit. */
export interface ChecksumQuestion {
  /** How many the profile declares, whether they apply or not. */
  readonly declared: number;
  /** How many values it states of software that this unit is not expected to hold; 0 when left out. */
  readonly statedOfOther?: number;
  readonly checksums: readonly ChecksumFacts[];
  readonly coverage: Coverage;
  readonly regions: readonly PlacedRegion[];
}

/** The most checksums of one kind that are each told by a finding of their own. */
const toldOneByOne = 64;

export const checksumRules: readonly Rule<ChecksumQuestion>[] = [
  {
    id: "checksum/stored-values-hold",
    judge: ({ declared, statedOfOther = 0, checksums, regions }) => {
      if (declared === 0 && statedOfOther > 0) {
        return { outcome: "not-applicable", because: "what the profile states is of the software that is to come" };
      }
      if (declared === 0) return judgement([], [finding("checksum/undeclared", {})]);
      if (checksums.length === 0) return judgement([], [finding("checksum/inapplicable", { declared })]);
      const failing = checksums.filter(({ status }) => status === "fails");
      const unchecked = checksums.filter(({ status }) => status === "absent");
      return judgement(
        [
          ...failing.slice(0, toldOneByOne).map((facts) => mismatch(facts, regions)),
          ...further("checksum/further-mismatches", failing.length),
        ],
        [
          ...unchecked.slice(0, toldOneByOne).flatMap((facts) => absent(facts, regions)),
          ...further("checksum/further-unchecked", unchecked.length),
        ],
      );
    },
  },
  {
    id: "checksum/cover-what-matters",
    judge: ({ checksums, coverage, regions }) =>
      checksums.length === 0
        ? { outcome: "not-applicable", because: "no checksum of the profile applies" }
        : judgement([], coverage.uncovered.map(uncovered), orderUnseen(checksums, coverage, regions)),
  },
];

/** The regions of which only sums cover some: they can come out the same when bytes change places. */
function orderUnseen(
  checksums: readonly ChecksumFacts[],
  { covered }: Coverage,
  regions: readonly PlacedRegion[],
): Finding[] {
  const ordered = checksums.filter((one) => one.status === "holds" && one.ordered).flatMap(spansOf);
  const summed = regions.filter(
    ({ role, spans }) => neededRoles.includes(role) && common(subtract(spans, ordered), covered).length > 0,
  );
  return summed.length === 0 ? [] : [finding("checksum/order-unseen", { regions: summed.map(({ name }) => name) })];
}

function further(code: "checksum/further-mismatches" | "checksum/further-unchecked", all: number): Finding[] {
  return all > toldOneByOne ? [finding(code, { count: all - toldOneByOne })] : [];
}

function mismatch(facts: ChecksumFacts, regions: readonly PlacedRegion[]): Finding {
  const { name, algorithm, covered, stored, computed, whole, storedAt, stated } = facts;
  const ends = normalised(covered);
  const within = { start: ends[0]?.start ?? 0, end: ends.at(-1)?.end ?? 0 };
  return finding(
    "checksum/mismatch",
    { checksum: name, algorithm, bytes: totalLength(covered), within, stored: stored ?? "", computed, whole, stated },
    ...placesOf(storedAt ? [storedAt] : stated ? covered.slice(0, 8) : [], regions),
  );
}

function absent(facts: ChecksumFacts, regions: readonly PlacedRegion[]): Finding[] {
  const { name, algorithm, covered, storedAt, absence } = facts;
  if (!absence) return [];
  if (absence.kind === "blank") {
    const blank = { checksum: name, byte: absence.byte, bytes: totalLength(covered) };
    return [finding("checksum/blank", blank, ...placesOf([...covered.slice(0, 8)], regions))];
  }
  const spans = absence.kind === "gaps" ? absence.spans.slice(0, 8) : storedAt ? [storedAt] : [];
  return [
    finding(
      "checksum/not-computable",
      { checksum: name, algorithm, reason: absenceText(absence) },
      ...placesOf(spans, regions),
    ),
  ];
}

function uncovered({ region, role, spans, known }: UncoveredRegion): Finding {
  return finding(
    "checksum/uncovered",
    { region, role, bytes: totalLength(spans), of: known, first: spans[0]?.start ?? 0 },
    ...spans.slice(0, 8).map((span) => ({ span, region })),
  );
}

function placesOf(spans: readonly Span[], regions: readonly PlacedRegion[]): Place[] {
  return spans
    .filter((span) => lengthOf(span) > 0)
    .map((span) => {
      const region = regionAt(regions, span)?.name;
      return { span, ...(region !== undefined && { region }) };
    });
}
