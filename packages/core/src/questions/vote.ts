import { normalised } from "../bytes/span.js";
import { heldBy } from "../checksums/held.js";
import { measureChecksums } from "../checksums/measure.js";
import { Refusal } from "../findings/refusal.js";
import { Image } from "../image/image.js";
import { assembleReport } from "../report/assemble.js";
import { cautions } from "../report/cautions.js";
import { maskOf } from "../report/private.js";
import type { Report } from "../report/schema.js";
import { fileRules } from "../rules/file.js";
import { readsRules, voteRules } from "../rules/reads.js";
import { ask } from "../rules/rule.js";
import { nearestTo, voteOf } from "../soundness/vote.js";
import { sideOf } from "../unit/side.js";
import { type CheckRequest, checkAsked } from "./check.js";
import { type Examined, examine } from "./examine.js";
import { examineWithoutProfile } from "./examine-without-profile.js";
import { furtherReads } from "./further-reads.js";
import { type InputFile, reportInput } from "./input.js";
import { seenThrough } from "./seen.js";
import { contentOf } from "./soundness-facts.js";

/** The image that several reads of one unit vote for, and what is to be thought of it. */
export interface VoteAnswer {
  readonly report: Report;
  /** With a hole wherever no majority was found. */
  readonly image: Image;
  /** A text as it may stand beside the report: in a private one, without what the report leaves out. */
  readonly mask: (text: string) => string;
}

type Looked = Pick<Examined, "checks" | "image" | "privateValues">;

/** Fewer reads settle nothing. */
const fewest = 3;

/**
 * The image that `reads` vote for, byte by byte, and the report on that image. What the unit writes by itself is that
 * of the read that is nearest to the rest, whole, for a mixture of several was never in any unit. Where the reads differ it still stops:
 * unless a checksum of the voted image holds over the place.
 * @throws Refusal when there are fewer than three reads, and for what `askCheck` refuses
 */
export function askVote(request: CheckRequest): VoteAnswer {
  const { reads, profile, side, job, version, accelerators, ...options } = request;
  const first = checkAsked(request);
  const look = (input: InputFile): Looked =>
    profile
      ? examine(seenThrough(input, profile), { side, job, accelerators })
      : examineWithoutProfile(input, accelerators);
  if (reads.length < fewest) {
    throw new Refusal("usage/vote-of-few", `vote: expected at least ${fewest} reads of one unit, got ${reads.length}`);
  }
  // Seen through the profile, so that what a hex file leaves out as erased is known to it.
  const units = profile && reads.map((read) => seenThrough(read, profile).unit);
  const images = reads.map(({ decoded }, i) => units?.[i]?.image ?? decoded.image);
  const own = units?.[0]?.volatile ?? [];
  const fixed = images.map((image) => image.without(own));
  const vote = voteOf(fixed);
  const nearest = nearestTo(vote.image, fixed);
  const kept = own.flatMap((span) => images[nearest]?.within(span) ?? []);
  const image = Image.of([...vote.image.segments, ...kept]);
  const voted: InputFile = {
    role: "voted",
    name: "the voted image",
    bytes: image.length,
    sha256: "",
    decoded: { format: first.decoded.format, image, findings: [], originOf: () => undefined },
  };
  const examined = profile && examine(seenThrough(voted, profile), { side, job, accelerators });
  const looked: Looked = examined ?? examineWithoutProfile(voted, accelerators);
  const measured = units?.map((unit) => measureChecksums(unit, accelerators));
  const seen = units?.map((unit, i) => ({ unit, checksums: () => measured?.[i] ?? [] }));
  // A checksum decides between two reads only where it fails in one of them: a sum can hold in both.
  const failing = (read: number) =>
    new Set(
      [0, read].flatMap((i) => (measured?.[i] ?? []).flatMap(({ name, status }) => (status === "fails" ? name : []))),
    );
  const confirmed = (read: number) => {
    const decided = failing(read);
    const held = examined?.checksums.filter(({ name }) => decided.has(name)).flatMap(heldBy) ?? [];
    return normalised([...own, ...held]);
  };
  const further = furtherReads(reads, images, confirmed, seen);
  const unconfirmed = further.some(({ difference }) => difference.bytes > 0);
  const told = examined && sideOf(examined.unit);
  // What a finding says of a read is masked as well as what is said of the voted image.
  const secrets = options.private
    ? [looked, ...reads.map(look)].flatMap(({ privateValues }) => privateValues)
    : undefined;
  const report = assembleReport({
    command: "check",
    version,
    profile,
    inputs: reads.map(reportInput),
    images: [
      { ...looked.image, ...(told && { side: told.status === "told" ? told.side : null }), content: contentOf(image) },
    ],
    checks: [
      ...ask(voteRules, "voted", {
        vote: {
          ...vote,
          copies: unconfirmed ? further.flatMap(({ equals, other }) => (equals ? [{ first: equals, other }] : [])) : [],
          first: (reads[nearest] as InputFile).role,
          own: kept.reduce((sum, { bytes }) => sum + bytes.length, 0),
        },
      }),
      ...ask(readsRules, "both", { further, profiled: profile !== undefined, erased: profile?.memory.erased }),
      ...reads.flatMap(({ role, decoded: { findings } }) => ask(fileRules, role, { findings })),
      ...looked.checks,
    ],
    raised: profile?.raise ?? {},
    cautions: [cautions.release, cautions.scope],
    secrets,
  });
  return { report, image, mask: maskOf(secrets ?? []) };
}
