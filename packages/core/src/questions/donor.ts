import type { Accelerators } from "../algorithms/algorithm.js";
import { common, normalised } from "../bytes/span.js";
import { compareDonor, sameButVolatile, sameSerialOf } from "../compare/donor.js";
import { compareExpectations, privateExpectations } from "../compare/expectations.js";
import { compose } from "../compose/compose.js";
import {
  blankRegions,
  composedFacts,
  lackingRegions,
  leftBehind,
  ownedCarried,
  virginParts,
} from "../compose/facts.js";
import { type Plan, planOf } from "../compose/plan.js";
import { isBare } from "../formats/decoded.js";
import type { Image } from "../image/image.js";
import { outsideOfDonor } from "../job/outside.js";
import type { JobSheet } from "../job/schema.js";
import type { Profile } from "../profile/schema/profile.js";
import { volatileRoles } from "../profile/schema/region.js";
import { assembleReport } from "../report/assemble.js";
import { cautions } from "../report/cautions.js";
import { maskOf } from "../report/private.js";
import type { Report } from "../report/schema.js";
import { donorRules } from "../rules/donor.js";
import type { DonorQuestion } from "../rules/donor-question.js";
import { donorWithoutProfileRules } from "../rules/donor-without-profile.js";
import { ask, type Check } from "../rules/rule.js";
import { fieldValue } from "../unit/field.js";
import { sideSaid } from "../unit/side.js";
import { fieldOfMeaning, type Unit } from "../unit/unit.js";
import { checkJob, checkSide } from "./besides.js";
import { examineComposed } from "./donor-composed.js";
import { reportChanges, reportPlan } from "./donor-report.js";
import { askTwin } from "./donor-twin.js";
import { type Examined, examine } from "./examine.js";
import { examineWithoutProfile } from "./examine-without-profile.js";
import { type InputFile, reportInput } from "./input.js";
import type { Overlooked } from "./overlooked.js";
import { seenThrough } from "./seen.js";

/** What is to be written, the unit that is to take it, and what is known besides. */
export interface DonorRequest {
  /** Holds the software that the machine is to run: the failed unit, or its twin. */
  readonly source: InputFile;
  /** The used unit, as it was read before anything is written. */
  readonly donor: InputFile;
  readonly profile?: Profile | undefined;
  readonly job?: JobSheet | undefined;
  /** The side that the unit is to work on. */
  readonly side?: string | undefined;
  /** The machine's other unit. */
  readonly twin?: InputFile | undefined;
  /** Masks what belongs to an owner. */
  readonly private?: boolean;
  /** What the platform computes faster. The answer is the same. */
  readonly accelerators?: Accelerators;
  /** Of the program that asks; stands in the report. */
  readonly version: string;
}

/** The report, and what may be written. */
export interface DonorAnswer {
  readonly report: Report;
  /** The image for the donor; undefined when the verdict is stop, or nothing could be composed. */
  readonly composed: Image | undefined;
  /** A text as it may stand beside the report: in a private one, without what the report leaves out. */
  readonly mask: (text: string) => string;
}

/**
 * May the donor be written with what the source holds, and what would be written?
 * @throws Refusal for a job sheet without a profile, and for a side that is none of the profile's
 */
export function askDonor(request: DonorRequest): DonorAnswer {
  checkJob(request.job, request.profile);
  checkSide(request.side, request.profile);
  return request.profile ? withProfile(request, request.profile) : withoutProfile(request);
}

function withProfile(request: DonorRequest, profile: Profile): DonorAnswer {
  const { source, donor, twin, job, version, accelerators, ...options } = request;
  const slot = options.side;
  const seenSource = seenThrough(source, profile);
  const before = seenThrough(donor, profile);
  const plan = planOf(seenSource.unit, before.unit);
  const ofSource = examine(seenSource, {
    job,
    jobSide: sideSaid(seenSource.unit) ?? slot,
    // What is carried is asked about as a part of the plan, and of the composed image.
    unasked: ["blank-regions", "side-values"],
    carried: plan.parts.flatMap(({ region, role, origin }) =>
      region !== undefined && role !== undefined && origin === "source" && volatileRoles.includes(role) ? [region] : [],
    ),
    accelerators,
  });
  const virgin = virginParts(plan, before.unit);
  const ofDonor = examine(before, {
    outside: job && outsideOfDonor(job),
    unasked: ["release", "blank-regions", "side-values"],
    overlooked: () => overlookedIn(virgin, ofSource.unit),
    accelerators,
  });
  const seenTwin = twin && seenThrough(twin, profile);
  const ofTwin = seenTwin && examine(seenTwin, { job, jobSide: sideSaid(seenTwin.unit), accelerators });
  const composition = compose(plan, ofSource.unit, ofDonor.unit, accelerators);
  const ofComposed = composition && examineComposed(composition, plan, request, profile, slot);

  const comparison = compareDonor(ofSource, ofDonor);
  const wanted = job?.machine?.number ?? fieldValue(fieldOfMeaning(ofSource.unit, "machine-number"));
  const question: DonorQuestion = {
    sameFiles: sameFiles(request),
    twinIsSource: twinIsSource(request, ofSource, ofTwin),
    twinIsDonor: ofTwin && {
      serial: sameSerialOf(ofTwin.unit, ofDonor.unit),
      alike: sameButVolatile(ofTwin.unit, ofDonor.unit),
    },
    comparison,
    expectations: compareExpectations(profile.donor?.expects ?? [], ofDonor.readings, job && outsideOfDonor(job)),
    plan,
    incomplete: lackingRegions(plan, ofDonor.unit),
    blank: blankRegions(plan, ofSource.unit, ofDonor.unit),
    virgin: virgin.flatMap(({ region }) => region ?? []),
    software: { source: ofSource.software, donor: ofDonor.software },
    leftBehind: leftBehind(plan, ofSource.unit, ofDonor.unit),
    composition,
    composed: ofComposed && composedFacts(ofComposed.unit, ofDonor.unit, plan),
    machineNumber: wanted,
    ownedUntold: job?.machine?.number === undefined ? ownedCarried(plan) : [],
    side: !profile.pair?.sides ? "unused" : slot !== undefined || twin ? "asked" : "unasked",
    twin: !profile.pair ? "unused" : twin ? "given" : "absent",
    sheet: sheetOf(job, profile),
  };
  const checks: Check[] = [
    ...ask(donorRules, "both", question),
    ...(ofComposed && ofTwin ? askTwin(ofComposed, ofTwin, plan, comparison) : []),
    ...(ofComposed?.checks ?? [uncomposed]),
    ...ofSource.checks,
    ...ofDonor.checks,
    ...(ofTwin?.checks ?? []),
  ];
  const all = [ofSource, ofDonor, ...(ofTwin ? [ofTwin] : []), ...(ofComposed ? [ofComposed] : [])];
  const secrets = options.private
    ? [...privateExpectations(question.expectations), ...all.flatMap(({ privateValues }) => privateValues)]
    : undefined;
  const report = assembleReport({
    command: "donor",
    version,
    profile,
    inputs: [source, donor, ...(twin ? [twin] : [])].map(reportInput),
    images: all.map(({ image, unit }) => ({ ...image, side: sideSaid(unit) ?? null })),
    ...reportChanges(plan, ofDonor.unit, composition),
    plan: reportPlan(plan, ofDonor.unit, composition, accelerators),
    checks,
    raised: profile.raise,
    cautions: [cautions.firstStart, cautions.ownership, cautions.release, cautions.scope],
    secrets,
  });
  return {
    report,
    composed: report.verdict === "stop" ? undefined : composition?.image,
    mask: maskOf(secrets ?? []),
  };
}

/** Without a profile nobody knows what must stay the donor's: nothing is planned, and nothing composed. */
function withoutProfile(request: DonorRequest): DonorAnswer {
  const { source, donor, twin, version, accelerators } = request;
  const given = [source, donor, ...(twin ? [twin] : [])];
  const looked = given.map((input) => examineWithoutProfile(input, accelerators));
  const secrets = request.private ? looked.flatMap(({ privateValues }) => privateValues) : undefined;
  const report = assembleReport({
    command: "donor",
    version,
    inputs: given.map(reportInput),
    images: looked.map(({ image }) => image),
    checks: [
      ...ask(donorWithoutProfileRules, "both", {
        sameFiles: sameFiles(request),
        sizes: { source: sizeOf(source), donor: sizeOf(donor) },
      }),
      ...looked.flatMap(({ checks }) => checks),
    ],
    cautions: [cautions.firstStart, cautions.ownership, cautions.release, cautions.scope],
    secrets,
  });
  return { report, composed: undefined, mask: maskOf(secrets ?? []) };
}

/** The size of the part that a file was read from; undefined when the file may leave some of it out. */
function sizeOf({ decoded }: InputFile): number | undefined {
  return isBare(decoded.format) ? decoded.image.length : undefined;
}

function overlookedIn(parts: Plan["parts"], source: Unit): Overlooked {
  const spans = normalised(parts.flatMap((part) => part.spans));
  const inside = source.fields.filter((reading) => "span" in reading && common([reading.span], spans).length > 0);
  return { spans, fields: new Set(inside.map(({ field }) => field.name)) };
}

/** Nothing composed is nothing examined: what keeps it from being composed is told by the rules on the plan. */
const uncomposed: Check = {
  rule: "donor/composed-sound",
  subject: "composed",
  judgement: { outcome: "not-applicable", because: "nothing was composed" },
};

function sameFiles({ source, donor, twin }: Pick<DonorRequest, "source" | "donor" | "twin">) {
  return [source, twin].flatMap((other) =>
    other && other.sha256 === donor.sha256 ? [{ first: other.role, second: donor.role, sha256: donor.sha256 }] : [],
  );
}

function twinIsSource({ source, twin }: DonorRequest, ofSource: Examined, ofTwin: Examined | undefined) {
  if (!twin || !ofTwin) return undefined;
  if (source.sha256 === twin.sha256) return "file";
  return sameSerialOf(ofSource.unit, ofTwin.unit) ? "serial-number" : undefined;
}

function sheetOf(job: JobSheet | undefined, { releases }: Profile): DonorQuestion["sheet"] {
  if (!job) return "absent";
  const builds = job.machine?.build !== undefined && releases.some((release) => release.builds.length > 0);
  return builds || job.wanted ? "speaks" : "silent";
}
