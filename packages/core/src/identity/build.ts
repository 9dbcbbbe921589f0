import { comparableWord } from "../profile/number.js";
import type { Build, Release } from "../profile/schema/release.js";

/** How a release's builds and the build of a machine go together. */
export type BuildFit =
  | { readonly fit: "fits" }
  /** The builds that come closest, where they differ. */
  | { readonly fit: "other"; readonly differing: readonly BuildDifference[] }
  /** Names that the release speaks of and the job sheet does not; none when the release lists no build at all. */
  | { readonly fit: "untold"; readonly missing: readonly string[] };

export interface BuildDifference {
  readonly name: string;
  readonly wanted: string;
  /** What the release is for. */
  readonly listed: readonly string[];
}

/** How `release` and the build of a machine go together: one of its builds must fit by every name that it speaks of. */
export function buildFit(release: Release, build: Build): BuildFit {
  const fits = release.builds.map((listed) => {
    const missing = Object.keys(listed).filter((name) => !Object.hasOwn(build, name));
    const differing = Object.entries(listed).flatMap(([name, value]): BuildDifference[] => {
      const wanted = Object.hasOwn(build, name) ? build[name] : undefined;
      const values = typeof value === "string" ? [value] : value;
      return wanted === undefined || values.some((one) => comparableWord(one) === comparableWord(wanted))
        ? []
        : [{ name, wanted, listed: values }];
    });
    return { missing, differing };
  });
  if (fits.some(({ missing, differing }) => missing.length === 0 && differing.length === 0)) return { fit: "fits" };
  const open = fits.filter(({ differing }) => differing.length === 0);
  if (fits.length === 0 || open.length > 0) {
    return { fit: "untold", missing: [...new Set(open.flatMap(({ missing }) => missing))] };
  }
  // Of builds that come equally close, all are named; one that leaves less open is closer.
  const distance = ({ differing, missing }: (typeof fits)[number]) => 100_000 * differing.length + missing.length;
  const least = Math.min(...fits.map(distance));
  const closest = fits.filter((one) => distance(one) === least).flatMap(({ differing }) => differing);
  const byName = new Map<string, BuildDifference>();
  for (const one of closest) {
    const listed = [...(byName.get(one.name)?.listed ?? []), ...one.listed];
    byName.set(one.name, { ...one, listed: [...new Set(listed)] });
  }
  return { fit: "other", differing: [...byName.values()] };
}
