import { type ChecksumFacts, spansOf } from "../checksums/facts.js";
import { heldBy } from "../checksums/held.js";
import { type Decoded, isBare } from "../formats/decoded.js";
import type { Image } from "../image/image.js";
import { sizesOf } from "../profile/check.js";
import { erasableRoles } from "../profile/schema/region.js";
import type { ReportImage } from "../report/schema.js";
import { reportSpan } from "../report/span.js";
import { type SoundnessQuestion, soundnessQuestion } from "../rules/soundness.js";
import { kindRunsOf } from "../soundness/kinds.js";
import { measureSoundness, type ProvedOrder } from "../soundness/measure.js";
import type { Unit } from "../unit/unit.js";

/** What the rules on soundness are asked of: the read alone, of which no profile says anything. */
export function soundnessOfRead(
  { image, format }: Pick<Decoded, "image" | "format">,
  sound: Image | undefined,
): SoundnessQuestion {
  return soundnessQuestion(measureSoundness(image, { exact: isBare(format), sound }));
}

/** The same of a read that is seen through its profile and whose checksums were computed. */
export function soundnessOfUnit(
  { image, profile, regions }: Unit,
  checksums: readonly ChecksumFacts[],
  exact: boolean,
  sound: Image | undefined,
  proved: ProvedOrder | undefined,
): SoundnessQuestion {
  const { erased } = profile.memory;
  const parts = regions.flatMap(({ role, spans }) =>
    spans.map((span) => ({ span, mayBeErased: erasableRoles.includes(role) })),
  );
  return soundnessQuestion(
    measureSoundness(image, {
      exact,
      sound,
      proved,
      erased,
      parts,
      partSizes: sizesOf(profile),
      held: checksums.flatMap(heldBy),
      failed: checksums.flatMap((checksum) => (checksum.status === "fails" ? spansOf(checksum) : [])),
    }),
  );
}

/** Blocks that a picture of a read is made of: more than a terminal has columns. */
const pictured = 128;

/** What `image` looks like, block by block, as the report has it. */
export function contentOf(image: Image): NonNullable<ReportImage["content"]> {
  return kindRunsOf(image, pictured).map(({ span, kind }) => ({ ...reportSpan(span), kind }));
}
