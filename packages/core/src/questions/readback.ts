import type { Accelerators } from "../algorithms/algorithm.js";
import { compareReadback } from "../compare/readback.js";
import type { Profile } from "../profile/schema/profile.js";
import { assembleReport } from "../report/assemble.js";
import { cautions } from "../report/cautions.js";
import { reportDifferences } from "../report/differences.js";
import type { Report } from "../report/schema.js";
import { withoutComparison } from "../rules/consequences.js";
import { readbackRules } from "../rules/readback.js";
import { ask } from "../rules/rule.js";
import { examine } from "./examine.js";
import { examineWithoutProfile } from "./examine-without-profile.js";
import { type InputFile, reportInput } from "./input.js";
import { askNames, type NamesGiven } from "./names.js";
import { seenThrough } from "./seen.js";
import { tablesAt } from "./tables.js";

/** What was to be written, what was read out of the unit after the write, and what is known besides. */
export interface ReadbackRequest {
  readonly intended: InputFile;
  readonly read: InputFile;
  readonly profile?: Profile | undefined;
  /** What the unit held before the write. */
  readonly before?: InputFile | undefined;
  /** What names the places of the memory. */
  readonly names?: NamesGiven | undefined;
  /** Masks what belongs to an owner. */
  readonly private?: boolean;
  /** What the platform computes faster. The answer is the same. */
  readonly accelerators?: Accelerators;
  /** Of the program that asks; stands in the report. */
  readonly version: string;
}

/** What erased memory reads as where no profile says it. Common practice, no source. */
const usuallyErased = 0xff;

/** Is what is in the unit what was meant? */
export function askReadback({
  intended,
  read,
  profile,
  before,
  version,
  accelerators,
  ...options
}: ReadbackRequest): Report {
  // Both are looked at as units, but what they should hold was asked before the write.
  const unasked = ["release", "blank-regions", "side-values"] as const;
  const seen = (input: InputFile) => profile && examine(seenThrough(input, profile), { unasked, accelerators });
  const [meant, got] = [seen(intended), seen(read)];
  const old = before && profile ? seenThrough(before, profile).unit.image : before?.decoded.image;
  const comparison = compareReadback(
    meant?.unit.image ?? intended.decoded.image,
    got?.unit.image ?? read.decoded.image,
    {
      ...(meant && got && { units: { intended: meant.unit, read: got.unit } }),
      ...(meant && got && { checksums: { intended: meant.checksums, read: got.checksums } }),
      before: old,
      erased: profile ? profile.memory.erased : usuallyErased,
    },
  );
  const looked = [
    meant ?? examineWithoutProfile(intended, accelerators),
    got ?? examineWithoutProfile(read, accelerators),
  ];
  const named = askNames(options.names, [intended, read], options.private);
  const listed = reportDifferences(comparison.pieces);
  return assembleReport({
    command: "readback",
    version,
    profile,
    inputs: [intended, read, ...(before ? [before] : [])].map(reportInput),
    images: looked.map(({ image }) => image),
    ...listed,
    tables: tablesAt(listed.differences, [intended.decoded.image, read.decoded.image]),
    names: named.names,
    checks: [
      ...withoutComparison(
        [
          ...ask(readbackRules, "both", {
            comparison,
            profiled: profile !== undefined,
            sameFile: intended.sha256 === read.sha256 ? intended.sha256 : undefined,
          }),
          ...looked.flatMap(({ checks }) => checks),
        ],
        looked.map(({ damage }) => damage),
      ),
      ...named.checks,
    ],
    raised: profile?.raise ?? {},
    cautions: [cautions.firstStart, cautions.scope],
    secrets: options.private ? looked.flatMap(({ privateValues }) => privateValues) : undefined,
  });
}
