import { sameNumber } from "../profile/number.js";
import { releaseName, supersededBy } from "../profile/releases.js";
import type { StatedNumber } from "../profile/schema/checksum.js";
import type { Build, Release } from "../profile/schema/release.js";
import { fieldValue } from "../unit/field.js";
import { fieldOfMeaning } from "../unit/unit.js";
import { type BuildFit, buildFit } from "./build.js";
import type { DescribedUnit } from "./measure.js";

/** The fingerprint of a part of the unit. */
export interface PartFingerprint {
  readonly part: string;
  readonly recipe: string;
  readonly digest: string;
}

/** A release, and whether the unit holds it. */
export interface ReleaseContent {
  readonly release: Release;
  readonly name: string;
  /** `same` when every fingerprint that it lists is that of the unit; `unknown` when none differs and one cannot be told. */
  readonly content: "same" | "different" | "unknown";
  /** Parts whose content is not that of the release, each with the other releases that have it. */
  readonly differing: readonly { readonly part: string; readonly heldBy: readonly string[] }[];
  /** Parts that the release lists and that the unit has no fingerprint of the same recipe for. */
  readonly untold: readonly string[];
  /** Regions of program and calibration that the unit has a fingerprint of and the release lists none for. */
  readonly unlisted: readonly string[];
  /** Releases that take the place of it and are not superseded themselves. */
  readonly successors: readonly string[];
  /** Whether the unit's hardware runs it: listed, not listed, not readable; `any` when the release does not say. */
  readonly hardware: "listed" | "unlisted" | "untold" | "any";
  /** Whether it is for the machine's build; undefined when no build was given or no release of the profile names one. */
  readonly build: BuildFit | undefined;
}

/** What a unit's numbers and its content say of the release in it. Nothing in it is judged. */
export interface ReleaseReading {
  /** How many releases the profile lists, and how many of them name a build. */
  readonly listed: number;
  readonly withBuilds: number;
  readonly software: string | undefined;
  readonly calibration: string | undefined;
  readonly hardware: string | undefined;
  /** The releases that the numbers say: several when the calibration number cannot be read. */
  readonly numbered: readonly ReleaseContent[];
  /** The releases that the content is. */
  readonly held: readonly ReleaseContent[];
}

/** Which release the unit's numbers say, and which its content is. `build` is that of the machine that it is for. */
export function measureRelease(
  unit: DescribedUnit,
  fingerprints: readonly PartFingerprint[],
  build?: Build,
  stated: readonly StatedNumber[] = [],
): ReleaseReading {
  const { releases } = unit.profile;
  const software = fieldValue(fieldOfMeaning(unit, "software-number")) ?? statedOf(stated, "software-number");
  const calibration = fieldValue(fieldOfMeaning(unit, "calibration-number")) ?? statedOf(stated, "calibration-number");
  const hardware = fieldValue(fieldOfMeaning(unit, "hardware-number"));
  const own = new Map(fingerprints.map((one) => [one.part, one]));
  const withBuilds = releases.filter(({ builds }) => builds.length > 0).length;
  const contents = releases.map((release) => contentOf(release, own));
  const saidByNumbers = (release: Release) =>
    software !== undefined &&
    sameNumber(software, release.software) &&
    (release.calibration === undefined || calibration === undefined || sameNumber(calibration, release.calibration));

  const chosen = releases.flatMap((release, i) =>
    saidByNumbers(release) || contents[i]?.content === "same" ? [i] : [],
  );
  const holders = holdersIn(releases, own);
  const newer = chosen.length > 0 ? successorsIn(releases) : () => [];
  const parts = unit.profile.regions.flatMap(({ name, role }) =>
    (role === "program" || role === "calibration") && own.has(name) ? [name] : [],
  );
  const described = chosen.map((i): ReleaseContent => {
    const release = releases[i] as Release;
    const { content, differing, untold } = contents[i] as PartContents;
    return {
      release,
      name: releaseName(release),
      content,
      differing: differing.map((part) => ({ part, heldBy: holders(part) })),
      untold,
      unlisted: unlistedIn(release, parts),
      successors: newer(i).map((other) => releaseName(releases[other] as Release)),
      hardware: hardwareOf(release, hardware),
      build: build && withBuilds > 0 ? buildFit(release, build) : undefined,
    };
  });
  return {
    listed: releases.length,
    withBuilds,
    software,
    calibration,
    hardware,
    numbered: described.filter(({ release }) => saidByNumbers(release)),
    held: described.filter(({ content }) => content === "same"),
  };
}

/** Whether `hardware` is among those that the release says it runs on. */
export function hardwareOf({ hardware: listed }: Release, hardware: string | undefined): ReleaseContent["hardware"] {
  if (!listed) return "any";
  if (hardware === undefined) return "untold";
  return listed.some((number) => sameNumber(number, hardware)) ? "listed" : "unlisted";
}

/** The one number of that meaning that the profile states of the content; undefined when it states several. */
function statedOf(stated: readonly StatedNumber[], meaning: StatedNumber["means"]): string | undefined {
  const numbers = stated.filter(({ means }) => means === meaning).map(({ number }) => number);
  const [first] = numbers;
  return first !== undefined && numbers.every((number) => sameNumber(number, first)) ? first : undefined;
}

interface PartContents {
  readonly content: ReleaseContent["content"];
  readonly differing: readonly string[];
  readonly untold: readonly string[];
}

function contentOf(release: Release, own: ReadonlyMap<string, PartFingerprint>): PartContents {
  const differing: string[] = [];
  const untold: string[] = [];
  for (const part of Object.keys(release.fingerprints)) {
    const standing = standingOf(release, part, own.get(part));
    if (standing === "unknown") untold.push(part);
    else if (standing === "different") differing.push(part);
  }
  const told = Object.keys(release.fingerprints).length > 0 && untold.length === 0;
  return { content: differing.length > 0 ? "different" : told ? "same" : "unknown", differing, untold };
}

function standingOf(release: Release, part: string, own: PartFingerprint | undefined): ReleaseContent["content"] {
  const recipes = Object.hasOwn(release.recipes, part) ? release.recipes[part] : undefined;
  if (!own || (recipes && !recipes.includes(own.recipe))) return "unknown";
  return release.fingerprints[part]?.includes(own.digest) ? "same" : "different";
}

/** Which of `parts` the release says nothing of: a fingerprint of the whole says something of each. */
function unlistedIn({ fingerprints }: Release, parts: readonly string[]): readonly string[] {
  return Object.hasOwn(fingerprints, "whole") ? [] : parts.filter((part) => !Object.hasOwn(fingerprints, part));
}

/** The most releases that are named beside another. */
const mostNamed = 8;

/** For a part, the releases whose content of it the unit has. */
function holdersIn(
  releases: readonly Release[],
  own: ReadonlyMap<string, PartFingerprint>,
): (part: string) => readonly string[] {
  const known = new Map<string, readonly string[]>();
  return (part) => {
    const before = known.get(part);
    if (before) return before;
    const names = releases
      .filter((other) => Object.hasOwn(other.fingerprints, part) && standingOf(other, part, own.get(part)) === "same")
      .slice(0, mostNamed)
      .map(releaseName);
    known.set(part, names);
    return names;
  };
}

/** For the index of a release, those that take its place, directly or by way of others, and that none supersedes. */
function successorsIn(releases: readonly Release[]): (index: number) => readonly number[] {
  const above: number[][] = releases.map(() => []);
  for (const [newer, older] of supersededBy(releases).entries()) for (const i of older) above[i]?.push(newer);
  return (index) => {
    const reached = new Set([index]);
    for (const i of reached) for (const newer of above[i] ?? []) reached.add(newer);
    return [...reached].filter((i) => i !== index && above[i]?.length === 0).slice(0, mostNamed);
  };
}
