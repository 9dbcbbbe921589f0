import type { Accelerators } from "../algorithms/algorithm.js";
import { coverageOf } from "../checksums/coverage.js";
import type { ChecksumFacts } from "../checksums/facts.js";
import { measureChecksums } from "../checksums/measure.js";
import { provedOrder } from "../checksums/proved-order.js";
import { provedPlace } from "../checksums/proved-place.js";
import { vouchedNumbers } from "../checksums/stated.js";
import type { FindingCode } from "../findings/catalogue.js";
import { type FingerprintResult, fingerprintsOf } from "../fingerprint/fingerprint.js";
import { fingerprintParts } from "../fingerprint/parts.js";
import type { Decoded } from "../formats/decoded.js";
import { identityFacts } from "../identity/facts.js";
import { type PrivateValue, privateValues } from "../identity/private.js";
import type { IdentityReading } from "../identity/reading.js";
import { measureRelease, type ReleaseReading } from "../identity/release.js";
import type { Image } from "../image/image.js";
import { buildFor, type Outside, outsideOfUnit, sheetUnit } from "../job/outside.js";
import type { JobSheet } from "../job/schema.js";
import type { Build } from "../profile/schema/release.js";
import type { ReportImage } from "../report/schema.js";
import { checksumRules } from "../rules/checksum.js";
import { damageOf, withoutConsequences } from "../rules/consequences.js";
import { fileRules } from "../rules/file.js";
import { identityRules, sheetRules } from "../rules/identity.js";
import { machineReleaseRules, releaseRules } from "../rules/release.js";
import { ask, type Check } from "../rules/rule.js";
import { isSound } from "../rules/soundness/cause.js";
import { soundnessRules } from "../rules/soundness.js";
import { unitRules } from "../rules/unit.js";
import { sideSaid } from "../unit/side.js";
import type { Unit } from "../unit/unit.js";
import { type Overlooked, withoutOverlooked } from "./overlooked.js";
import { reportImageOf } from "./report-image.js";
import type { Seen } from "./seen.js";
import { soundnessOfUnit } from "./soundness-facts.js";
import { unitQuestion } from "./unit-facts.js";

/** One unit, looked at through its profile: what was measured and what the rules make of it. */
export interface Examined {
  readonly unit: Unit;
  /** Whether its file cannot leave anything out. */
  readonly exact: boolean;
  readonly checksums: readonly ChecksumFacts[];
  readonly fingerprints: readonly FingerprintResult[];
  /** What image and job sheet say of who it is. */
  readonly readings: readonly IdentityReading[];
  /** The software number, as far as it is known. */
  readonly software: string | undefined;
  readonly checks: readonly Check[];
  readonly image: ReportImage;
  /** Whether no fault of the whole read was found. */
  readonly sound: boolean;
  /** The fault of the whole read that explains whatever else is wrong with it. */
  readonly damage: FindingCode | undefined;
  readonly privateValues: readonly PrivateValue[];
}

/**
 * `release`: which release the unit holds, and whether that is right for the machine. `blank-regions`: whether anything
 * stands where something should. `side-values`: whether it holds what its side demands.
 */
export type Askable = "release" | "blank-regions" | "side-values";

/** What is asked of one unit besides what its profile says. */
export interface Expectations {
  /** The side that the unit was said to be on. */
  readonly side?: string | undefined;
  /** What is known of the machine and its units from outside. */
  readonly job?: JobSheet | undefined;
  /** The side whose entry in the job sheet is this unit's: `side` when it is left out, else what the unit itself says. */
  readonly jobSide?: string | undefined;
  /** Whether the job sheet was given for this unit alone, and has to say something of it. */
  readonly ownSheet?: boolean;
  /** What is known of the unit from outside, in the place of what the job sheet says of the machine's own units. */
  readonly outside?: Outside | undefined;
  /** What is not asked of this unit, because another question covers it or it does not matter. */
  readonly unasked?: readonly Askable[];
  /** What is not asked about, because it is erased and meant to be, or is about to be overwritten. */
  readonly overlooked?: (unit: Unit) => Overlooked;
  /** Regions whose content goes into another unit as it was read, though this one may write them by itself. */
  readonly carried?: readonly string[];
  /** Another read that was found sound: what is true of the whole of it is true of one that is alike. */
  readonly soundRead?: Image | undefined;
  /** What the platform computes faster. The answer is the same. */
  readonly accelerators?: Accelerators | undefined;
}

/** Looks at a unit: what it holds, and what the rules on single units make of it. */
export function examine({ input, unit, exact }: Seen, expectations: Expectations = {}): Examined {
  const { side, job, accelerators = {}, unasked = [], carried = [] } = expectations;
  const asks = (question: Askable) => !unasked.includes(question);
  const { role, decoded } = input;
  const { profile } = unit;
  // What somebody stated of one software says nothing of a unit that holds another.
  const checksums = measureChecksums(unit, accelerators).filter(({ stated }) => asks("release") || !stated);
  const coverage = coverageOf(unit, checksums);
  const stored = checksums.flatMap(({ storedAt }) => (storedAt ? [storedAt] : []));
  const fingerprints = fingerprintsOf(unit.image, fingerprintParts(unit, stored), accelerators.digest);
  const computed = fingerprints.flatMap((result) => (result.kind === "computed" ? [result.fingerprint] : []));
  const jobSide = expectations.jobSide ?? side ?? sideSaid(unit);
  const outside = expectations.outside ?? (job && outsideOf(job, jobSide, decoded));
  const asked = withoutOverlooked({ unit, checksums, coverage }, expectations.overlooked?.(unit));
  const stated = vouchedNumbers(unit, checksums);
  const identity = identityFacts(asked.unit, asked.checksums, outside, stated);
  const build = job && buildFor(job, jobSide);
  const reading = measureRelease(unit, computed, build, stated);
  const proved = provedOrder(unit, checksums, accelerators);
  const soundness = soundnessOfUnit(unit, checksums, exact, expectations.soundRead, proved);
  const place = proved ? undefined : provedPlace(unit, checksums, accelerators);
  const checks = [
    ...ask(fileRules, role, { findings: decoded.findings }),
    ...ask(soundnessRules, role, soundness),
    ...ask(
      unitRules,
      role,
      unitQuestion(asked.unit, { exact, wantedSide: side, asks, covered: coverage.covered, carried, place }),
    ),
    ...ask(checksumRules, role, {
      declared: profile.checksums.length + (asks("release") ? profile.statedChecksums.length : 0),
      statedOfOther: asks("release") ? 0 : profile.statedChecksums.length,
      checksums: asked.checksums,
      coverage: asked.coverage,
      regions: unit.regions,
    }),
    ...ask(sheetRules, role, {
      units: expectations.outside ? undefined : job?.units.length,
      side: jobSide,
      others: job && expectations.ownSheet && !sheetUnit(job, jobSide) ? job.units.length + (job.donor ? 1 : 0) : 0,
    }),
    ...ask(identityRules, role, identity),
    ...(asks("release") ? askRelease(role, reading, job, build) : []),
  ];
  return {
    unit,
    exact,
    checksums,
    fingerprints,
    readings: identity.readings,
    software: reading.software,
    sound: isSound(soundness.cause),
    damage: damageOf(soundness) ?? (place && "unit/content-moved"),
    checks: withoutConsequences(checks, soundness),
    image: reportImageOf(role, unit, { checksums, fingerprints: computed, coverage }),
    privateValues: privateValues({ fields: unit.fields, readings: identity.readings }),
  };
}

/** What is known from outside of what a file holds. A flash container was read out of no unit, and none is told by it. */
function outsideOf(job: JobSheet, side: string | undefined, { format }: Decoded): Outside | undefined {
  return outsideOfUnit(format === "odx-f" ? { ...job, units: [] } : job, side);
}

function askRelease(
  role: string,
  reading: ReleaseReading,
  job: JobSheet | undefined,
  build: Build | undefined,
): Check[] {
  return [
    ...ask(releaseRules, role, reading),
    ...ask(machineReleaseRules, role, {
      reading,
      build: job === undefined ? "no-sheet" : build ? "given" : "left-out",
      wanted: job?.wanted,
    }),
  ];
}
