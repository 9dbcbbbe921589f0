import type { Accelerators } from "../algorithms/algorithm.js";
import { followingChecksums } from "../compare/following.js";
import { comparePair } from "../compare/pair.js";
import { type Likeness, measureLikeness } from "../compare/without-profile.js";
import { alike } from "../image/difference.js";
import type { JobSheet } from "../job/schema.js";
import type { Profile } from "../profile/schema/profile.js";
import { assembleReport } from "../report/assemble.js";
import { cautions } from "../report/cautions.js";
import { reportDifferences } from "../report/differences.js";
import { maskText } from "../report/private.js";
import type { Report } from "../report/schema.js";
import { withoutComparison } from "../rules/consequences.js";
import { pairRules } from "../rules/pair.js";
import { ask } from "../rules/rule.js";
import { likenessRules } from "../rules/without-profile.js";
import { sideNames, sideTold } from "../unit/side.js";
import { checkJob } from "./besides.js";
import { examine } from "./examine.js";
import { examineWithoutProfile } from "./examine-without-profile.js";
import { type InputFile, reportInput } from "./input.js";
import { askNames, type NamesGiven } from "./names.js";
import { seenThrough } from "./seen.js";
import { tablesAt } from "./tables.js";

/** Two files of a mirrored pair and what is known besides. */
export interface PairRequest {
  readonly left: InputFile;
  readonly right: InputFile;
  readonly profile?: Profile | undefined;
  readonly job?: JobSheet | undefined;
  /** What names the places of the memory. */
  readonly names?: NamesGiven | undefined;
  /** Masks what belongs to an owner. */
  readonly private?: boolean;
  /** What the platform computes faster. The answer is the same. */
  readonly accelerators?: Accelerators;
  /** Of the program that asks; stands in the report. */
  readonly version: string;
}

/**
 * Do two units of a mirrored pair carry the same software and data, and differ only where their sides demand?
 * @throws Refusal for a job sheet without a profile
 */
export function askPair(request: PairRequest): Report {
  checkJob(request.job, request.profile);
  return request.profile ? withProfile(request, request.profile) : withoutProfile(request);
}

function withProfile({ left, right, job, version, accelerators, ...options }: PairRequest, profile: Profile): Report {
  const names = sideNames(profile.pair);
  // The rules of the pairing ask of both units what each side demands.
  const unasked = ["side-values"] as const;
  const first = examine(seenThrough(left, profile), { job, jobSide: names.left, unasked, accelerators });
  const second = examine(seenThrough(right, profile), {
    job,
    jobSide: names.right,
    unasked,
    soundRead: first.sound ? first.unit.image : undefined,
    accelerators,
  });
  const following = followingChecksums(first.checksums, second.checksums);
  const comparison = comparePair(first.unit, second.unit, following, [], accelerators);
  const { difference, sides } = comparison;
  const same = sameFile(left, right);
  const named = askNames(options.names, [left, right], options.private);
  const listed = reportDifferences(comparison.pieces);
  return assembleReport({
    command: "pair",
    version,
    profile,
    inputs: [left, right].map(reportInput),
    images: [
      { ...first.image, side: sideTold(sides.left) ?? null },
      { ...second.image, side: sideTold(sides.right) ?? null },
    ],
    ...listed,
    tables: tablesAt(listed.differences, [left.decoded.image, right.decoded.image]),
    names: named.names,
    checks: [
      ...withoutComparison(
        [
          // One file given twice answers no other question about two units.
          ...ask(same === undefined ? pairRules : pairRules.slice(0, 1), "both", {
            comparison,
            identical: alike(difference),
            sameFile: same,
          }),
          ...first.checks,
          ...second.checks,
        ],
        [first.damage, second.damage],
      ),
      ...named.checks,
    ],
    raised: profile.raise,
    cautions: [cautions.firstStart, cautions.release, cautions.scope],
    secrets: options.private ? [...first.privateValues, ...second.privateValues] : undefined,
  });
}

function withoutProfile({ left, right, version, accelerators, ...options }: PairRequest): Report {
  const first = examineWithoutProfile(left, accelerators);
  const second = examineWithoutProfile(right, accelerators, first.sound ? left.decoded.image : undefined);
  const measured = measureLikeness(left.decoded.image, right.decoded.image);
  const likeness = options.private ? withoutSamples(measured) : measured;
  const { runs, rest } = likeness.difference;
  const { differences, differencesLeftOut } = reportDifferences(
    runs.map((span) => ({ span, region: undefined, rule: undefined })),
  );
  const named = askNames(options.names, [left, right], options.private);
  return assembleReport({
    command: "pair",
    version,
    inputs: [left, right].map(reportInput),
    images: [first.image, second.image],
    differences,
    differencesLeftOut: differencesLeftOut + rest.length,
    tables: tablesAt(differences, [left.decoded.image, right.decoded.image]),
    names: named.names,
    checks: [
      ...withoutComparison(
        [
          ...ask(likenessRules, "both", { likeness, sameFile: sameFile(left, right) }),
          ...first.checks,
          ...second.checks,
        ],
        [first.damage, second.damage],
      ),
      ...named.checks,
    ],
    cautions: [cautions.firstStart, cautions.release, cautions.scope],
    secrets: options.private ? [...first.privateValues, ...second.privateValues] : undefined,
  });
}

/** Without the bytes themselves: nobody has said which of them belong to an owner. */
function withoutSamples(likeness: Likeness): Likeness {
  const clusters = likeness.clusters.map((one) => ({ ...one, left: maskText, right: maskText, text: undefined }));
  return { ...likeness, clusters };
}

function sameFile(left: InputFile, right: InputFile): string | undefined {
  return left.sha256 === right.sha256 ? left.sha256 : undefined;
}
