import { Refusal } from "../findings/refusal.js";
import type { JobSheet } from "../job/schema.js";
import type { Profile } from "../profile/schema/profile.js";

/** That `side`, where one was named, is one of the profile's. */
export function checkSide(side: string | undefined, profile: Profile | undefined): void {
  if (side === undefined) return;
  const sides = profile?.pair?.sides;
  if (!sides)
    throw new Refusal("usage/side-unknown", `side: expected a profile that knows sides, got none for ${side}`);
  if (side !== sides.left && side !== sides.right) {
    throw new Refusal("usage/side-unknown", `side: expected ${sides.left} or ${sides.right}, got ${side}`);
  }
}

/** Without a profile nobody knows where an image states what a job sheet could be held against. */
export function checkJob(job: JobSheet | undefined, profile: Profile | undefined): void {
  if (job && !profile)
    throw new Refusal("usage/job-without-profile", "job sheet: expected a profile beside it, got none");
}
