import { isBare } from "../formats/decoded.js";
import type { Profile } from "../profile/schema/profile.js";
import { describeUnit, type Unit } from "../unit/unit.js";
import type { InputFile } from "./input.js";

/** A file, and the unit that it shows through the profile of its family. */
export interface Seen {
  readonly input: InputFile;
  readonly unit: Unit;
  /** Whether the file cannot leave anything out: what it lacks was cut off, and is not erased memory. */
  readonly exact: boolean;
}

/** `input` through `profile`. Holes may pass as erased only where the file can leave rows out. */
export function seenThrough(input: InputFile, profile: Profile): Seen {
  const exact = isBare(input.decoded.format);
  return { input, unit: describeUnit(input.decoded.image, profile, exact ? "unknown" : "erased"), exact };
}
