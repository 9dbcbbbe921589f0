import { type Span, sameSpans } from "../bytes/span.js";
import type { ChecksumFacts } from "../checksums/facts.js";

/** A stored checksum that two units have: which bytes it follows from. */
export interface FollowingChecksum {
  readonly name: string;
  readonly storedAt: Span;
  readonly covered: readonly Span[];
  /** Whether it holds in both, over the same places: then its value may differ where what it covers does. */
  readonly holdsInBoth: boolean;
}

/** The checksums of `first` that `second` has too, by name. */
export function followingChecksums(
  first: readonly ChecksumFacts[],
  second: readonly ChecksumFacts[],
): readonly FollowingChecksum[] {
  const twins = new Map(second.map((checksum) => [checksum.name, checksum]));
  return first.flatMap((checksum) => {
    const { name, status, storedAt, covered } = checksum;
    const twin = twins.get(name);
    if (!twin || !storedAt) return [];
    const holdsInBoth = status === "holds" && twin.status === "holds" && samePlaces(checksum, twin);
    return [{ name, storedAt, covered, holdsInBoth }];
  });
}

function samePlaces(a: ChecksumFacts, b: ChecksumFacts): boolean {
  const stored = ({ storedAt }: ChecksumFacts) => (storedAt ? [storedAt] : []);
  return sameSpans(a.covered, b.covered) && sameSpans(stored(a), stored(b));
}
