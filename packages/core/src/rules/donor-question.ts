import type { DonorComparison, UnitsStanding } from "../compare/donor.js";
import type { ExpectationStanding } from "../compare/expectations.js";
import type { Composition } from "../compose/compose.js";
import type { ComposedFacts, LackingRegion } from "../compose/facts.js";
import type { Plan } from "../compose/plan.js";

/** What the rules on a donor are asked of. */
export interface DonorQuestion {
  /** Roles that were given one file, pair by pair. */
  readonly sameFiles: readonly { readonly first: string; readonly second: string; readonly sha256: string }[];
  /** How the twin is known to be the source, when it is. */
  readonly twinIsSource: "file" | "serial-number" | undefined;
  /** How the twin is known, or may be feared, to be the donor. */
  readonly twinIsDonor: { readonly serial: UnitsStanding["sameSerial"]; readonly alike: boolean } | undefined;
  readonly comparison: DonorComparison;
  /** What the donor must say of itself, and what it says. */
  readonly expectations: readonly ExpectationStanding[];
  readonly plan: Plan;
  /** What is not in the reads. */
  readonly incomplete: readonly LackingRegion[];
  /** Regions that the unit cannot do without, erased where they are to come from. */
  readonly blank: readonly { readonly unit: "source" | "donor"; readonly region: string }[];
  /** Regions that are to be overwritten and are erased in the donor. */
  readonly virgin: readonly string[];
  readonly software: { readonly source: string | undefined; readonly donor: string | undefined };
  readonly leftBehind: readonly {
    readonly region: string | undefined;
    readonly bytes: number;
    readonly first: number;
  }[];
  readonly composition: Composition | undefined;
  readonly composed: ComposedFacts | undefined;
  /** The number of the machine: of the job sheet, else of the source. */
  readonly machineNumber: string | undefined;
  /** Regions of an owner's data that come along although the job sheet does not say which machine they are for. */
  readonly ownedUntold: readonly string[];
  /** Whether units of this family are coded for a side, and whether anybody said for which this one is. */
  readonly side: "unused" | "asked" | "unasked";
  /** Whether the profile relates the units of a pair, and whether the twin is there to be held against. */
  readonly twin: "unused" | "given" | "absent";
  /** What the job sheet says of the software that the machine is to run. */
  readonly sheet: "absent" | "silent" | "speaks";
}
