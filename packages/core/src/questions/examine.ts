import type { Accelerators } from "../algorithms/algorithm.js";
import { type Span, subtract } from "../bytes/span.js";
import { type Coverage, coverageOf } from "../checksums/coverage.js";
import { type ChecksumFacts, spansOf } from "../checksums/facts.js";
import { measureChecksums } from "../checksums/measure.js";
import { vouchedNumbers } from "../checksums/stated.js";
import { type FindingCode, finding } from "../findings/catalogue.js";
import { contentDigest } from "../fingerprint/content.js";
import { type FingerprintResult, fingerprintOf } from "../fingerprint/fingerprint.js";
import { fingerprintParts } from "../fingerprint/parts.js";
import { type Decoded, isBare } from "../formats/decoded.js";
import { identityFacts } from "../identity/facts.js";
import { findMachineNumbers } from "../identity/find-machine-numbers.js";
import { type PrivateValue, privateValues } from "../identity/private.js";
import type { IdentityReading } from "../identity/reading.js";
import { measureRelease, type ReleaseReading } from "../identity/release.js";
import type { Image } from "../image/image.js";
import { buildFor, type Outside, outsideOfUnit } from "../job/outside.js";
import type { JobSheet } from "../job/schema.js";
import type { Profile } from "../profile/schema/profile.js";
import type { Build } from "../profile/schema/release.js";
import type { ReportImage } from "../report/schema.js";
import { checksumRules } from "../rules/checksum.js";
import { damageOf, withoutConsequences } from "../rules/consequences.js";
import { fileRules } from "../rules/file.js";
import { foundMachineNumberRules, identityRules, sheetRules } from "../rules/identity.js";
import { machineReleaseRules, releaseRules } from "../rules/release.js";
import { ask, type Check, judgement } from "../rules/rule.js";
import { soundnessRules } from "../rules/soundness.js";
import { unitRules } from "../rules/unit.js";
import { sideOf, sideTold } from "../unit/side.js";
import { describeUnit, type Unit } from "../unit/unit.js";
import type { InputFile } from "./input.js";
import { provedOrder } from "./proved-order.js";
import { reportImageOf } from "./report-image.js";
import { isSound, soundnessOfRead, soundnessOfUnit } from "./soundness-facts.js";
import { unitQuestion } from "./unit-facts.js";

/** One unit, looked at through its profile: what was measured and what the rules make of it. */
export interface Examined {
  readonly unit: Unit;
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
  /** What is known of the unit from outside, where that is not what the job sheet says of the machine's own units. */
  readonly outside?: Outside | undefined;
  /** What is not asked of this unit, because another question covers it or it does not matter. */
  readonly unasked?: readonly Askable[];
  /** What is not asked about, because it is erased and meant to be, or is about to be overwritten. */
  readonly overlooked?: (unit: Unit) => Overlooked;
  /** Another read that was found sound: what is true of the whole of it is true of one that is alike. */
  readonly soundRead?: Image | undefined;
  /** What the platform computes faster. The answer is the same. */
  readonly accelerators?: Accelerators | undefined;
}

/** Parts of a unit that nothing is asked about: addresses, and fields by name. */
export interface Overlooked {
  readonly spans: readonly Span[];
  readonly fields: ReadonlySet<string>;
}

/** Looks at one file as a unit of `profile`. */
export function examine(input: InputFile, profile: Profile, expectations: Expectations = {}): Examined {
  const { side, job, accelerators = {}, unasked = [] } = expectations;
  const asks = (question: Askable) => !unasked.includes(question);
  const { role, decoded } = input;
  // A file without addresses leaves nothing out: what it lacks was cut off, and is not erased memory.
  const exact = isBare(decoded.format);
  const unit = describeUnit(decoded.image, profile, exact ? "unknown" : "erased");
  // What somebody stated of one software says nothing of a unit that holds another.
  const checksums = measureChecksums(unit, accelerators).filter(({ stated }) => asks("release") || !stated);
  const coverage = coverageOf(unit, checksums);
  const stored = checksums.flatMap(({ storedAt }) => (storedAt ? [storedAt] : []));
  const fingerprints = fingerprintParts(unit, stored).map((part) =>
    fingerprintOf(unit.image, part, accelerators.digest),
  );
  const computed = fingerprints.flatMap((result) => (result.kind === "computed" ? [result.fingerprint] : []));
  const jobSide = expectations.jobSide ?? side ?? sideTold(sideOf(unit));
  const outside = "outside" in expectations ? expectations.outside : job && outsideOf(job, jobSide, decoded);
  const asked = withoutOverlooked({ unit, checksums, coverage }, expectations.overlooked?.(unit));
  const stated = vouchedNumbers(unit, checksums);
  const identity = identityFacts(asked.unit, asked.checksums, outside, stated);
  const build = job && buildFor(job, jobSide);
  const reading = measureRelease(unit, computed, build, stated);
  const proved = provedOrder(unit, checksums, accelerators);
  const soundness = soundnessOfUnit(unit, checksums, exact, expectations.soundRead, proved);
  const checks = [
    ...ask(fileRules, role, { findings: decoded.findings }),
    ...ask(soundnessRules, role, soundness),
    ...ask(unitRules, role, unitQuestion(asked.unit, { exact, wantedSide: side, asks, covered: coverage.covered })),
    ...ask(checksumRules, role, {
      declared: profile.checksums.length + (asks("release") ? profile.statedChecksums.length : 0),
      statedOfOther: asks("release") ? 0 : profile.statedChecksums.length,
      checksums: asked.checksums,
      coverage: asked.coverage,
      regions: unit.regions,
    }),
    ...ask(sheetRules, role, {
      units: "outside" in expectations ? undefined : job?.units.length,
      side: jobSide,
    }),
    ...ask(identityRules, role, identity),
    ...(asks("release") ? askRelease(role, reading, job, build) : []),
  ];
  return {
    unit,
    checksums,
    fingerprints,
    readings: identity.readings,
    software: reading.software,
    sound: isSound(soundness),
    damage: damageOf(soundness),
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

/** What was measured, without what is not asked about. */
function withoutOverlooked(
  measured: { readonly unit: Unit; readonly checksums: readonly ChecksumFacts[]; readonly coverage: Coverage },
  overlooked: Overlooked | undefined,
): typeof measured {
  if (!overlooked) return measured;
  const { spans, fields } = overlooked;
  const inside = (own: readonly Span[]) => own.length > 0 && subtract(own, spans).length === 0;
  const { unit, checksums, coverage } = measured;
  return {
    unit: {
      ...unit,
      fields: unit.fields.filter(
        (reading) => !fields.has(reading.field.name) && !("span" in reading && inside([reading.span])),
      ),
    },
    checksums: checksums.filter((checksum) => checksum.absence?.kind !== "blank" || !inside(spansOf(checksum))),
    coverage: {
      ...coverage,
      uncovered: coverage.uncovered
        .map((region) => ({ ...region, spans: subtract(region.spans, spans) }))
        .filter((region) => region.spans.length > 0),
    },
  };
}

/** Looks at one file of which no profile says anything. */
export function examineWithoutProfile(
  input: InputFile,
  { digest }: Accelerators = {},
  soundRead?: Image,
): Pick<Examined, "checks" | "image" | "sound" | "damage" | "privateValues"> {
  const { role, decoded } = input;
  const numbers = findMachineNumbers(decoded.image);
  const soundness = soundnessOfRead(decoded, soundRead);
  const content = contentDigest(decoded.image, digest);
  return {
    checks: [
      ...ask(fileRules, role, { findings: decoded.findings }),
      ...ask(soundnessRules, role, soundness),
      ...ask(foundMachineNumberRules, role, numbers),
      { rule: "unit/profile-given", subject: role, judgement: judgement([], [finding("unit/profile-absent", {})]) },
    ],
    image: {
      role,
      identity: {},
      checksums: [],
      fingerprints: content === undefined ? {} : { content },
      coverage: { checksummed: 0, described: 0 },
    },
    sound: isSound(soundness),
    damage: damageOf(soundness),
    privateValues: privateValues({ found: numbers }),
  };
}
