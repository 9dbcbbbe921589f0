import type { Accelerators } from "../algorithms/algorithm.js";
import type { Composition } from "../compose/compose.js";
import { outsideOfComposed } from "../compose/outside.js";
import { type Plan, spansFrom } from "../compose/plan.js";
import { isBare } from "../formats/decoded.js";
import type { JobSheet } from "../job/schema.js";
import type { Profile } from "../profile/schema/profile.js";
import { sideSaid } from "../unit/side.js";
import { type Examined, examine } from "./examine.js";
import type { InputFile } from "./input.js";
import { seenThrough } from "./seen.js";

/** What of a request concerns the composed image. */
interface ComposedRequest {
  readonly source: InputFile;
  readonly donor: InputFile;
  readonly job?: JobSheet | undefined;
  readonly accelerators?: Accelerators;
}

/** What was composed, looked at as if it had been read out of a unit. */
export function examineComposed(
  { image }: Composition,
  plan: Plan,
  { source, donor, job, accelerators }: ComposedRequest,
  profile: Profile,
  slot: string | undefined,
): Examined {
  // Where one of the two could leave something out, the composed image may have holes in no region.
  const format = isBare(donor.decoded.format) ? source.decoded.format : donor.decoded.format;
  const decoded = { format, image, findings: [], originOf: () => undefined };
  const input: InputFile = { role: "composed", name: "composed image", bytes: image.length, sha256: "", decoded };
  const seen = seenThrough(input, profile);
  const erased = spansFrom(plan, "erased");
  return examine(seen, {
    side: slot,
    job,
    jobSide: slot ?? sideSaid(seen.unit),
    outside: job && outsideOfComposed(job, plan, profile, image),
    overlooked: () => ({ spans: erased, fields: new Set() }),
    unasked: ["blank-regions"],
    accelerators,
  });
}
