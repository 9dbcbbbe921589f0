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

/**
 * That there is a profile beside `job`, for without one nobody knows where an image states what it could be held
 * against, and that the sides of its units are the profile's.
 */
export function checkJob(job: JobSheet | undefined, profile: Profile | undefined): void {
  if (!job) return;
  if (!profile) throw new Refusal("usage/job-without-profile", "job sheet: expected a profile beside it, got none");
  const sides = profile.pair?.sides;
  for (const [i, { side }] of job.units.entries()) {
    if (side === undefined || !sides || side === sides.left || side === sides.right) continue;
    throw new Refusal(
      "usage/job-side-unknown",
      `job sheet: units[${i}].side: expected ${sides.left} or ${sides.right}, got ${side}`,
    );
  }
}
