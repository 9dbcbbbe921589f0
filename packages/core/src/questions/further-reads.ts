import type { Span } from "../bytes/span.js";
import { firstOfOtherUnit, type SeenRead } from "../compare/two-units.js";
import type { Image } from "../image/image.js";
import type { FurtherRead } from "../rules/reads.js";
import { measureReads } from "../soundness/read-differences.js";
import type { InputFile } from "./input.js";

/**
 * How every read but the first differs from it, outside of what is excepted for the read of that number; `seen` are the
 * same through the profile.
 */
export function furtherReads(
  reads: readonly InputFile[],
  images: readonly Image[],
  excepted: (number: number) => readonly Span[],
  seen: readonly SeenRead[] | undefined,
): FurtherRead[] {
  const roleOf = (number: number) => (reads[number] as InputFile).role;
  return measureReads(images, { volatile: excepted }).map((difference) => {
    const number = difference.read;
    const image = images[number] as Image;
    const mixed = seen && firstOfOtherUnit(seen, number);
    return {
      first: roleOf(0),
      other: roleOf(number),
      equals: reads.slice(0, number).find((_, i) => images[i]?.equals(image))?.role,
      difference,
      mixed: mixed && { with: roleOf(mixed.number), values: mixed.values },
    };
  });
}
