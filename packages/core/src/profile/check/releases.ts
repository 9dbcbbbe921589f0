import { comparableNumber } from "../number.js";
import { releaseKey, releaseName, supersededBy } from "../releases.js";
import type { Profile } from "../schema/profile.js";
import type { Release } from "../schema/release.js";
import type { Problem } from "./problem.js";

/** Releases that cannot be told apart, that take the place of themselves, or that speak of regions that are not there. */
export function releaseProblems(profile: Profile): Problem[] {
  const { releases } = profile;
  return [...emptyNumbers(releases), ...twice(releases), ...unknownRegions(profile), ...circles(releases)];
}

function emptyNumbers(releases: readonly Release[]): Problem[] {
  return releases.flatMap((release, i) => {
    const numbers = [
      ["software", release.software],
      ["calibration", release.calibration],
      ...(release.hardware ?? []).map((number, j) => [`hardware[${j}]`, number] as const),
    ] as const;
    return numbers.flatMap(([key, number]) =>
      number === undefined || comparableNumber(number) !== ""
        ? []
        : [{ path: `releases[${i}].${key}`, message: `expected letters or digits, got ${JSON.stringify(number)}` }],
    );
  });
}

function twice(releases: readonly Release[]): Problem[] {
  const seen = new Map<string, number>();
  const bare = new Map<string, number>();
  const all = new Map<string, number>();
  return releases.flatMap((release, i): Problem[] => {
    const path = `releases[${i}].software`;
    const key = releaseKey(release);
    const software = comparableNumber(release.software);
    const before = seen.get(key);
    // A release for every calibration beside one for a single calibration: which of the two is meant cannot be told.
    const beside = release.calibration === undefined ? all.get(software) : bare.get(software);
    seen.set(key, i);
    all.set(software, i);
    if (release.calibration === undefined) bare.set(software, i);
    if (before !== undefined) {
      const message = `expected each release once, got ${releaseName(release)} again, as in releases[${before}]`;
      return [{ path, message }];
    }
    return beside === undefined
      ? []
      : [
          {
            path,
            message: `expected a calibration in each of the releases of one software, got releases[${beside}] too`,
          },
        ];
  });
}

function unknownRegions({ releases, regions }: Profile): Problem[] {
  const parts = [...regions.map(({ name }) => name), "whole"];
  return releases.flatMap((release, i) =>
    (["fingerprints", "recipes"] as const).flatMap((key) =>
      Object.keys(release[key]).flatMap((region): Problem[] => {
        const path = `releases[${i}].${key}.${region}`;
        if (!parts.includes(region)) {
          return [{ path, message: `expected the name of a region, or whole, got ${region}` }];
        }
        return key === "recipes" && !Object.hasOwn(release.fingerprints, region)
          ? [{ path, message: "expected a fingerprint beside its recipe, got none" }]
          : [];
      }),
    ),
  );
}

function circles(releases: readonly Release[]): Problem[] {
  const below = supersededBy(releases);
  const problems: Problem[] = [];
  const state = new Map<number, "open" | "done">();
  const visit = (i: number): void => {
    if (state.get(i) === "done") return;
    if (state.get(i) === "open") {
      const message = `expected a release that does not supersede itself, got a circle through ${releaseName(releases[i] as Release)}`;
      problems.push({ path: `releases[${i}].supersedes`, message });
      return;
    }
    state.set(i, "open");
    for (const next of below[i] ?? new Set<number>()) visit(next);
    state.set(i, "done");
  };
  for (const i of releases.keys()) visit(i);
  return problems;
}
