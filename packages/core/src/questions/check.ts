import type { Accelerators } from "../algorithms/algorithm.js";
import type { Span } from "../bytes/span.js";
import { Refusal } from "../findings/refusal.js";
import type { Image } from "../image/image.js";
import type { JobSheet } from "../job/schema.js";
import { recogniseProcessor } from "../processor/recognise.js";
import type { Profile } from "../profile/schema/profile.js";
import { assembleReport, reportProcessor } from "../report/assemble.js";
import { cautions } from "../report/cautions.js";
import type { Report } from "../report/schema.js";
import { readsRules, type VoteFacts, voteRules } from "../rules/reads.js";
import { ask } from "../rules/rule.js";
import { voteOf } from "../soundness/vote.js";
import { sideSaid } from "../unit/side.js";
import { checkJob, checkSide } from "./besides.js";
import { type Examined, examine } from "./examine.js";
import { examineWithoutProfile } from "./examine-without-profile.js";
import { furtherReads } from "./further-reads.js";
import { type InputFile, reportInput } from "./input.js";
import { seenThrough } from "./seen.js";
import { contentOf } from "./soundness-facts.js";

/** Reads of one unit and what is known besides. */
export interface CheckRequest {
  /** One read, or several of the same unit. Each has a role of its own. */
  readonly reads: readonly InputFile[];
  readonly profile?: Profile | undefined;
  /** The side that the unit was said to be on. */
  readonly side?: string | undefined;
  readonly job?: JobSheet | undefined;
  readonly private?: boolean;
  /** What the platform computes faster. The answer is the same. */
  readonly accelerators?: Accelerators;
  readonly version: string;
}

/**
 * Is this a sound read, and of what?
 * @throws Refusal when no read is given, or the side is none of the profile's
 */
export function askCheck(request: CheckRequest): Report {
  const { reads, profile, side, job, version, accelerators, ...options } = request;
  const first = checkAsked(request);
  const examined = profile
    ? reads.map((read) => examine(seenThrough(read, profile), { side, job, ownSheet: true, accelerators }))
    : undefined;
  const looked: readonly Pick<Examined, "checks" | "image" | "privateValues">[] =
    examined ?? reads.map((read) => examineWithoutProfile(read, accelerators));
  const volatile = examined?.[0]?.unit.volatile ?? [];
  // Seen through the profile, so that a hex file without its erased rows and a raw file of the same read are equal.
  const images = reads.map((read, i) => examined?.[i]?.unit.image ?? read.decoded.image);
  const seen = examined?.map(({ unit, checksums }) => ({ unit, checksums: () => checksums }));
  const further = furtherReads(reads, images, () => volatile, seen);
  return assembleReport({
    command: "check",
    version,
    profile,
    inputs: reads.map(reportInput),
    images: looked.map(({ image }, i) => {
      const unit = examined?.[i]?.unit;
      const read = (reads[i] as InputFile).decoded.image;
      const drawn = { ...image, content: contentOf(read), processor: reportProcessor(recogniseProcessor(read)) };
      return unit ? { ...drawn, side: sideSaid(unit) ?? null } : drawn;
    }),
    checks: [
      ...ask(readsRules, "both", { further, profiled: profile !== undefined, erased: profile?.memory.erased }),
      ...ask(voteRules, "both", { vote: votable(reads, images, volatile, first) }),
      ...looked.flatMap(({ checks }) => checks),
    ],
    raised: profile?.raise ?? {},
    cautions: [cautions.release, cautions.scope],
    secrets: options.private ? looked.flatMap(({ privateValues }) => privateValues) : undefined,
  });
}

/**
 * The first read of `request`.
 * @throws Refusal when there is none, or what is known besides does not go together
 */
export function checkAsked({ reads, profile, side, job }: CheckRequest): InputFile {
  const first = reads[0];
  if (!first) throw new Refusal("usage/no-read", "check: expected at least one read, got none");
  checkSide(side, profile);
  checkJob(job, profile);
  return first;
}

/** What a vote of these reads would come to; undefined where there are too few, or nothing to settle. */
function votable(
  reads: readonly InputFile[],
  images: readonly Image[],
  own: readonly Span[],
  first: InputFile,
): VoteFacts | undefined {
  if (reads.length < 3) return undefined;
  const vote = voteOf(images.map((image) => image.without(own)));
  return { ...vote, copies: [], first: first.role, own: 0 };
}
