import { comparableNumber } from "./number.js";
import type { Release } from "./schema/release.js";

/** What a release is known by. */
export interface ReleaseNumbers {
  readonly software: string;
  readonly calibration?: string | undefined;
}

/** A release as people name it: its software number, with the calibration number where it has one. */
export function releaseName({ software, calibration }: ReleaseNumbers): string {
  return calibration === undefined ? software : `${software} with calibration ${calibration}`;
}

/** The same text for the same numbers, however they are grouped. */
export function releaseKey({ software, calibration }: ReleaseNumbers): string {
  return `${comparableNumber(software)} ${calibration === undefined ? "" : comparableNumber(calibration)}`;
}

/**
 * For each of `releases` the indexes of those that it takes the place of by its own word. What they take the place of in
 * their turn is not among them.
 */
export function supersededBy(releases: readonly Release[]): readonly ReadonlySet<number>[] {
  const bySoftware = indexesBy(releases, ({ software }) => comparableNumber(software));
  const byBoth = indexesBy(releases, releaseKey);
  return releases.map(({ supersedes }) => {
    // Looked up by number, and each list once: a profile may name the same release in many spellings.
    const lists = supersedes.map((superseded) =>
      typeof superseded === "string"
        ? bySoftware.get(comparableNumber(superseded))
        : byBoth.get(releaseKey(superseded)),
    );
    return new Set([...new Set(lists)].flatMap((list) => list ?? []));
  });
}

function indexesBy(releases: readonly Release[], keyOf: (release: Release) => string): Map<string, number[]> {
  const indexes = new Map<string, number[]>();
  for (const [i, release] of releases.entries()) {
    const list = indexes.get(keyOf(release));
    if (list) list.push(i);
    else indexes.set(keyOf(release), [i]);
  }
  return indexes;
}
