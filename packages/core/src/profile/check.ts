import { checksumProblems } from "./check/checksums.js";
import { donorProblems } from "./check/donor.js";
import { memoryProblems, raiseProblems } from "./check/memory.js";
import { namingProblems } from "./check/names.js";
import { pairProblems } from "./check/pair.js";
import { fieldProblems, regionProblems } from "./check/places.js";
import type { Problem } from "./check/problem.js";
import { releaseProblems } from "./check/releases.js";
import { verificationProblems } from "./check/verification.js";
import type { Profile } from "./schema/profile.js";

export type { Problem } from "./check/problem.js";
export { extentOf, sizesOf } from "./extent.js";

/** What does not hold together in a profile whose shape is right: names, references, places. All of it. */
export function checkProfile(profile: Profile): Problem[] {
  return [
    ...memoryProblems(profile),
    ...namingProblems(profile),
    ...regionProblems(profile),
    ...fieldProblems(profile),
    ...checksumProblems(profile),
    ...pairProblems(profile),
    ...verificationProblems(profile),
    ...releaseProblems(profile),
    ...donorProblems(profile),
    ...raiseProblems(profile),
  ];
}
