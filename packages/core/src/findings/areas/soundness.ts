import { formatAddress } from "../../bytes/hex.js";
import type { Entries } from "../finding.js";

/** What two reads of one unit say differently. */
export interface ReadsDiffer {
  readonly first: string;
  readonly other: string;
  readonly bytes: number;
  readonly runs: number;
  readonly at: number;
  /** Differing bits that are 1 in the later read, and that are 0 in it. */
  readonly raised: number;
  readonly lowered: number;
}

/** Whether a read is whole and plausible. */
export interface SoundnessFacts {
  "soundness/reads-differ": ReadsDiffer;
  "soundness/reads-differ-unexplained": ReadsDiffer;
  "soundness/reads-of-other-extent": { readonly first: string; readonly other: string; readonly bytes: number };
  "soundness/read-given-twice": { readonly first: string; readonly other: string };
}

const differ = ({ first, other, bytes, runs, at, raised, lowered }: ReadsDiffer) =>
  `${first} and ${other} differ in ${bytes} ${bytes === 1 ? "byte" : "bytes"} in ${runs} ${runs === 1 ? "run" : "runs"}, the first at ${formatAddress(at)}; in the later one ${raised} bits are 1 instead of 0 and ${lowered} are 0 instead of 1`;

export const soundnessEntries: Entries<SoundnessFacts> = {
  "soundness/reads-differ": {
    severity: "stop",
    title: "Two reads of the unit do not agree",
    says: differ,
    expected: () => "the same bytes in every read, but for what the unit writes by itself",
    found: ({ bytes }) => `${bytes} unequal`,
    why: "At least one of the reads is wrong, and nothing says which.",
    next: "Clean the contacts, check supply and clock, and read again until reads agree. Bits that differ one way only point to lost charge, both ways to noise.",
    since: "0.1.0",
  },
  "soundness/reads-differ-unexplained": {
    severity: "review",
    title: "Two reads of the unit do not agree, and nothing says whether they may",
    says: differ,
    expected: () => "the same bytes, or a profile that says what a unit writes by itself",
    found: ({ bytes }) => `${bytes} unequal`,
    why: "Adaptation, faults and counters differ between any two reads; everything else must not.",
    next: "Give a profile with --profile, or compare the places by hand.",
    since: "0.1.0",
  },
  "soundness/reads-of-other-extent": {
    severity: "stop",
    title: "The reads do not cover the same memory",
    says: ({ first, other, bytes }) =>
      `${bytes} ${bytes === 1 ? "byte is" : "bytes are"} known in only one of ${first} and ${other}`,
    expected: () => "reads of the same addresses",
    found: ({ bytes }) => `${bytes} bytes in one of them only`,
    why: "One of the reads was cut short, or they were made with different settings.",
    next: "Read the whole part again with the same settings.",
    since: "0.1.0",
  },
  "soundness/read-given-twice": {
    severity: "review",
    title: "One file was given as two reads",
    says: ({ first, other }) => `${first} and ${other} are the same file, so they prove nothing of each other`,
    expected: () => "two files that were read one after the other",
    found: () => "the same file twice",
    why: "A copy always agrees with its original. Two true reads can be equal too, where a unit writes nothing by itself.",
    next: "Make sure that the unit was read twice.",
    since: "0.1.0",
  },
};
