import { common, type Span, subtract, totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { neededRoles } from "../profile/schema/region.js";
import type { PlacedRegion } from "../unit/unit.js";

/**
 * How many bytes two images both know, of the regions that a unit needs (of the whole where there are none): those that
 * may be anything, and those that are held against each other.
 */
export interface Compared {
  readonly free: number;
  readonly held: number;
}

/** What of `first` and `second` is held against each other when whatever lies in `free` may be anything. */
export function comparedIn(
  first: Image,
  second: Image,
  regions: readonly PlacedRegion[],
  free: readonly Span[],
): Compared {
  const both = common(first.spans, second.spans);
  const needed = regions.filter(({ role }) => neededRoles.includes(role)).flatMap(({ spans }) => spans);
  const known = needed.length > 0 ? common(both, needed) : both;
  const held = totalLength(subtract(known, free));
  return { free: totalLength(known) - held, held };
}
