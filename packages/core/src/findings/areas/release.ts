import type { Entries } from "../finding.js";

/** A name of a build, what the machine has and what the release is for. */
export interface BuildDiffers {
  readonly name: string;
  readonly wanted: string;
  readonly listed: readonly string[];
}

/** Which of the maker's releases a unit holds, and whether that is right for the machine. */
export interface ReleaseFindingFacts {
  "release/unknown": { readonly numbers: string; readonly listed: number };
  "release/number-untold": { readonly what: string; readonly content: readonly string[] };
  "release/content-of-another": { readonly said: string; readonly held: readonly string[] };
  "release/content-changed": {
    readonly said: string;
    readonly parts: readonly { readonly part: string; readonly heldBy: readonly string[] }[];
  };
  "release/content-untold": { readonly said: string; readonly parts: readonly string[] };
  "release/parts-unlisted": { readonly said: string; readonly parts: readonly string[] };
  "release/other-build": { readonly release: string; readonly differing: readonly BuildDiffers[] };
  "release/build-untold": { readonly release: string; readonly missing: readonly string[] };
  "release/not-asked": { readonly releases: number };
  "release/superseded": { readonly release: string; readonly successors: readonly string[] };
  "release/hardware-unlisted": {
    readonly release: string;
    readonly hardware: string;
    readonly listed: readonly string[];
  };
  "release/hardware-untold": { readonly release: string; readonly listed: readonly string[] };
  "release/other-than-wanted": { readonly wanted: string; readonly found: string };
  "release/wanted-untold": { readonly wanted: string; readonly what: string };
}

const named = 12;
const list = (items: readonly string[]) =>
  items.slice(0, named).join(", ") + (items.length > named ? ` and ${items.length - named} more` : "");
const wantedBuild = (differing: readonly BuildDiffers[]) =>
  differing.map(({ name, wanted }) => `${name} ${wanted}`).join(", ");
const listedBuild = (differing: readonly BuildDiffers[]) =>
  differing.map(({ name, listed }) => `${name} ${listed.slice(0, named).join(" or ")}`).join(", ");
const held = ({ part, heldBy }: { readonly part: string; readonly heldBy: readonly string[] }) =>
  heldBy.length === 0 ? `${part} is no listed release's` : `${part} is that of ${heldBy.join(" or ")}`;

export const releaseEntries: Entries<ReleaseFindingFacts> = {
  "release/unknown": {
    severity: "review",
    title: "The profile does not list the software that the unit names",
    says: ({ numbers, listed }) => `the unit names ${numbers}, which is none of the ${listed} releases of the profile`,
    expected: ({ listed }) => `one of ${listed} listed releases`,
    found: ({ numbers }) => numbers,
    why: "What the maker released under this number, and for which build, is not known here.",
    next: "Find the release in the maker's papers and add it to the profile, or compare with a unit that is known to be right.",
    since: "0.1.0",
  },
  "release/number-untold": {
    severity: "review",
    title: "The unit does not say which release it holds",
    says: ({ what, content }) =>
      `the ${what} cannot be read${content.length > 0 ? `; by its content it is ${list(content)}` : ""}`,
    expected: ({ what }) => `a readable ${what}`,
    found: ({ content }) => (content.length > 0 ? `only the content, that of ${list(content)}` : "none"),
    why: "Number and content must say the same release.",
    next: "Read the unit again; compare with the label and the tester's answer.",
    since: "0.1.0",
  },
  "release/content-of-another": {
    severity: "stop",
    title: "The unit names one release and holds another",
    says: ({ said, held: content }) => `the unit names ${said}, and its content is that of ${list(content)}`,
    expected: ({ said }) => `the content of ${said}`,
    found: ({ held: content }) => `the content of ${list(content)}`,
    why: "The number was changed, or the software was exchanged and the number left: what the number is released for does not hold for the content.",
    next: "Take software from another source: the twin, the maker, or a unit whose number and content agree.",
    since: "0.1.0",
  },
  "release/content-changed": {
    severity: "stop",
    title: "The content is not that of the release that the unit names",
    says: ({ said, parts }) => `the unit names ${said}, and differs from it: ${parts.map(held).join("; ")}`,
    expected: ({ said }) => `the content of ${said}`,
    found: ({ parts }) => parts.map(held).join("; "),
    why: "The software was changed after the maker released it, or the read is damaged; checksums that hold only show that somebody put them right.",
    next: "Read the unit again; when it stays, take the software from another source.",
    since: "0.1.0",
  },
  "release/parts-unlisted": {
    severity: "review",
    title: "The release says nothing of a part of the software",
    says: ({ said, parts }) => `the unit names ${said}, of which the profile has no fingerprint for ${list(parts)}`,
    expected: ({ said }) => `a fingerprint of program and calibration of ${said}, or of the whole`,
    found: ({ parts }) => `none for ${list(parts)}`,
    why: "What was changed there with its checksum corrected passes for the release.",
    next: "Add the fingerprints of a known-good unit to the profile.",
    since: "0.1.0",
  },
  "release/content-untold": {
    severity: "review",
    title: "Whether the content is that of the release could not be told",
    says: ({ said, parts }) =>
      parts.length > 0
        ? `the unit names ${said}; no fingerprint to compare for ${list(parts)}`
        : `the unit names ${said}, of which the profile has no fingerprint`,
    expected: ({ said }) => `a fingerprint of each part of ${said}, made by the same recipe`,
    found: ({ parts }) => (parts.length > 0 ? `none for ${list(parts)}` : "none"),
    why: "A number alone does not show that the software under it is unchanged.",
    next: "Read the whole memory; add the fingerprints of a known-good unit to the profile.",
    since: "0.1.0",
  },
  "release/other-build": {
    severity: "stop",
    title: "The software is for another build than this machine",
    says: ({ release, differing }) =>
      `${release} is for ${listedBuild(differing)}, and this machine has ${wantedBuild(differing)}`,
    expected: ({ differing }) => `a release for ${wantedBuild(differing)}`,
    found: ({ release, differing }) => `${release}, for ${listedBuild(differing)}`,
    why: "Software of a sister model starts and passes its own checksums; it can still harm the machine or somebody near it.",
    next: "Check the build in the job sheet against the machine's papers; when it is right, the unit was swapped in from another machine: use software that is released for this build.",
    since: "0.1.0",
  },
  "release/build-untold": {
    severity: "review",
    title: "Whether the software is for this machine could not be told",
    says: ({ release, missing }) =>
      missing.length > 0
        ? `${release} depends on ${list(missing)}, which the job sheet does not state`
        : `the profile names no build for ${release}`,
    expected: ({ release, missing }) =>
      missing.length > 0 ? `${list(missing)} in the build of the job sheet` : `the builds that ${release} is for`,
    found: () => "nothing",
    why: "A release is right for a build only when every name that it depends on fits.",
    next: "Complete the build in the job sheet from the machine's papers, or the release in the profile.",
    since: "0.1.0",
  },
  "release/not-asked": {
    severity: "review",
    title: "The job sheet does not say what build the machine is",
    says: ({ releases }) =>
      `the profile tells the builds of ${releases} releases, and the job sheet names none to compare them with`,
    expected: () => "machine.build in the job sheet",
    found: () => "none",
    why: "Without the machine's build nobody can tell whether the software is right for it.",
    next: "Add market, engine, gearbox and what else the profile's releases name to the job sheet.",
    since: "0.1.0",
  },
  "release/superseded": {
    severity: "note",
    title: "There is a later release",
    says: ({ release, successors }) => `${release} was superseded by ${list(successors)}`,
    why: "A later release may mend a fault; units of a pair still need the same one.",
    next: "Nothing, when the twin runs the same; else decide with the owner which release both are to run.",
    since: "0.1.0",
  },
  "release/hardware-unlisted": {
    severity: "stop",
    title: "This release does not run on this hardware",
    says: ({ release, hardware, listed }) => `${release} is for hardware ${list(listed)}, and the unit is ${hardware}`,
    expected: ({ listed }) => `hardware ${list(listed)}`,
    found: ({ hardware }) => `hardware ${hardware}`,
    why: "Software on other hardware can drive outputs wrongly, or not start.",
    next: "Compare the hardware number with the label; when it is right, the unit was written with software that is not its own.",
    since: "0.1.0",
  },
  "release/hardware-untold": {
    severity: "review",
    title: "Whether this release runs on this hardware could not be told",
    says: ({ release, listed }) =>
      `${release} is for hardware ${list(listed)}, and the unit's hardware number cannot be read`,
    expected: ({ listed }) => `hardware ${list(listed)}`,
    found: () => "no readable hardware number",
    why: "Software on other hardware can drive outputs wrongly, or not start.",
    next: "Take the hardware number from the label and compare it by hand, or read the unit again.",
    since: "0.1.0",
  },
  "release/other-than-wanted": {
    severity: "stop",
    title: "The unit does not hold the software that is wanted",
    says: ({ wanted, found }) => `the job sheet wants ${wanted}, and the unit holds ${found}`,
    expected: ({ wanted }) => wanted,
    found: ({ found }) => found,
    why: "The job is to end with the wanted software in the machine.",
    next: "Use a source that holds it, or put the job sheet right.",
    since: "0.1.0",
  },
  "release/wanted-untold": {
    severity: "review",
    title: "Whether the unit holds the software that is wanted could not be told",
    says: ({ wanted, what }) => `the job sheet wants ${wanted}, and the unit's ${what} cannot be read`,
    expected: ({ wanted }) => wanted,
    found: ({ what }) => `no readable ${what}`,
    why: "The job is to end with the wanted software in the machine.",
    next: "Read the unit again, or establish its software with the tester.",
    since: "0.1.0",
  },
};
