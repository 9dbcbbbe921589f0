import { type Span, subtract, totalLength } from "../bytes/span.js";
import { largestMemory } from "../profile/extent.js";
import { writtenIn } from "./blank.js";
import type { Unit } from "./unit.js";

/** Bytes, and the first run of them. */
export interface Stretch {
  readonly bytes: number;
  readonly first: Span | undefined;
}

/** What was read outside of the largest memory that the profile allows. */
export function outsideMemory({ profile, read }: Pick<Unit, "profile" | "read">): Stretch {
  const memory = largestMemory(profile);
  const spans = memory ? subtract(read.spans, [memory]) : [];
  return { bytes: totalLength(spans), first: spans[0] };
}

/** Known bytes in no region that do not read as erased. */
export function undescribedIn({ profile, image, regions }: Unit): Stretch {
  const described = regions.flatMap(({ spans }) => spans);
  return writtenIn(image, subtract(image.spans, described), profile.memory.erased);
}
