import { common, normalised, type Span, subtract, totalLength } from "../bytes/span.js";
import { neededRoles, type Role } from "../profile/schema/region.js";
import type { Unit } from "../unit/unit.js";
import { type ChecksumFacts, spansOf } from "./facts.js";

/** How much of what was read stands under a checksum, and how much the profile speaks of. */
export interface Coverage {
  /** The share of the known bytes that a checksum that holds covers; its own stored value counts as covered. 0 to 1. */
  readonly checksummed: number;
  /** The share of the known bytes that lie in a region. 0 to 1. */
  readonly described: number;
  /** What checksums that hold cover. Sorted and disjoint. */
  readonly covered: readonly Span[];
  /** What no checksum that holds covers, of the regions that matter; without the regions of which all is covered. */
  readonly uncovered: readonly UncoveredRegion[];
}

export interface UncoveredRegion {
  readonly region: string;
  readonly role: Role;
  /** Sorted and disjoint. */
  readonly spans: readonly Span[];
  /** Bytes of the region that are known. */
  readonly known: number;
}

/** What the checksums in `facts`, measured on the same unit, cover of it. */
export function coverageOf(unit: Unit, facts: readonly ChecksumFacts[]): Coverage {
  const known = unit.read.spans;
  const length = totalLength(known);
  const shareOf = (spans: readonly Span[]) => (length === 0 ? 0 : totalLength(common(spans, known)) / length);
  const covered = normalised(facts.filter(({ status }) => status === "holds").flatMap(spansOf));
  return {
    checksummed: shareOf(covered),
    covered,
    described: shareOf(unit.regions.flatMap(({ spans }) => spans)),
    uncovered: unit.regions
      .filter(({ role }) => neededRoles.includes(role))
      .map(({ name, role, spans }) => {
        const own = common(spans, known);
        return { region: name, role, spans: subtract(own, covered), known: totalLength(own) };
      })
      .filter(({ spans }) => spans.length > 0),
  };
}
