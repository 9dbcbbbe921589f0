import { formatAddress } from "../../../bytes/hex.js";
import { bytes } from "../../amounts.js";
import type { Entries } from "../../finding.js";
import { dataLine } from "./line-names.js";

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

/** What several reads of one unit say together. */
export interface SeveralReadsFacts {
  "soundness/reads-differ": ReadsDiffer;
  "soundness/reads-differ-unexplained": ReadsDiffer;
  "soundness/reads-of-other-extent": { readonly first: string; readonly other: string; readonly bytes: number };
  "soundness/reads-of-two-units": {
    readonly first: string;
    readonly other: string;
    readonly values: readonly { readonly field: string; readonly first: string; readonly other: string }[];
  };
  "soundness/read-given-twice": { readonly first: string; readonly other: string };
  "soundness/reads-equal": { readonly first: string; readonly other: string };
  "soundness/charge-lost": { readonly bytes: number; readonly bits: number; readonly first: number };
  "soundness/contact-on-data-line": {
    readonly bit: number;
    readonly lane: number;
    readonly bus: number;
    readonly bytes: number;
    readonly first: number;
  };
  "soundness/contact-on-address-line": {
    readonly line: number;
    readonly bytes: number;
    readonly explained: number;
    readonly first: number;
  };
  "soundness/reads-shifted": { readonly from: number; readonly by: number; readonly read: number };
  "soundness/vote-open": {
    readonly open: number;
    readonly settled: number;
    readonly reads: number;
    readonly first: number;
  };
  "soundness/vote-taken": {
    readonly settled: number;
    readonly reads: number;
    /** Bytes that the unit writes by itself, all taken from the read `first`. */
    readonly own: number;
    readonly first: string;
  };
}

const differ = ({ first, other, bytes, runs, at, raised, lowered }: ReadsDiffer) =>
  `${first} and ${other} differ in ${bytes} ${bytes === 1 ? "byte" : "bytes"} in ${runs} ${runs === 1 ? "run" : "runs"}, the first at ${formatAddress(at)}; in the later one ${raised} bits are 1 instead of 0 and ${lowered} are 0 instead of 1`;

const since = "0.1.0";

export const severalReadsEntries: Entries<SeveralReadsFacts> = {
  "soundness/reads-differ": {
    severity: "stop",
    title: "Two reads of the unit do not agree",
    says: differ,
    expected: () => "the same bytes in every read, but for what the unit writes by itself",
    found: ({ bytes }) => `${bytes} unequal`,
    why: "At least one of the reads is wrong, and nothing says which.",
    next: "Clean the contacts, check supply and clock, and read again until reads agree. Bits that differ one way only point to lost charge, both ways to noise.",
    since,
  },
  "soundness/reads-differ-unexplained": {
    severity: "review",
    title: "Two reads of the unit do not agree, and nothing says whether they may",
    says: differ,
    expected: () => "the same bytes, or a profile that says what a unit writes by itself",
    found: ({ bytes }) => `${bytes} unequal`,
    why: "Adaptation, faults and counters differ between any two reads; everything else must not.",
    next: "Give a profile, or compare the places by hand.",
    since,
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
    since,
  },
  "soundness/reads-of-two-units": {
    severity: "stop",
    title: "The reads are of two units, not of one",
    says: ({ first, other, values }) =>
      `a checksum over it holds in both reads, and they state ${values
        .map((value) => `${value.field} ${value.first} (${first}) and ${value.other} (${other})`)
        .join(", ")}`,
    expected: ({ values }) => values.map((value) => value.first).join(", "),
    found: ({ values }) => values.map((value) => value.other).join(", "),
    why: "What two units differ in says nothing of how well either was read.",
    next: "Check the reads of each unit by themselves; two units of a mirrored pair are compared with the command pair.",
    since,
  },
  "soundness/read-given-twice": {
    severity: "review",
    title: "One read may have voted twice",
    says: ({ first, other }) => `${first} and ${other} are equal in every byte, and both were counted`,
    expected: () => "reads that were made one after the other",
    found: () => "two that may be one",
    why: "A copy always agrees with its original, and its vote is no second one. Two true reads can be equal too.",
    next: "Make sure that the unit was read as often as files were given, or vote over further reads.",
    since,
  },
  "soundness/reads-equal": {
    severity: "note",
    title: "Two reads are equal in every byte",
    says: ({ first, other }) => `${first} and ${other} hold the same bytes, also where a unit writes by itself`,
    why: "Two true reads are, where the unit was not at work between them; so is one file that was given twice, which would say nothing.",
    next: "Make sure that the unit was read twice.",
    since,
  },
  "soundness/charge-lost": {
    severity: "review",
    title: "Bits turned towards erased from read to read",
    says: ({ bytes: size, bits, first }) =>
      `${bits} bits in ${bytes(size)} differ, all of them erased in the same one of the two reads, the first at ${formatAddress(first)}`,
    expected: () => "the same bytes in every read",
    found: ({ bits }) => `${bits} bits in one direction`,
    why: "Cells of an old part lose charge and read once so, once so; the read with fewer erased bits is nearer to the content.",
    next: "Read at other supply voltages and temperatures, vote over at least three reads, and let a checksum decide.",
    since,
  },
  "soundness/contact-on-data-line": {
    severity: "stop",
    title: "Two reads differ on one data line only",
    says: ({ bit, lane, bus, bytes: size, first }) =>
      `all ${bytes(size)} that differ do so in ${dataLine(bus, lane, bit)}, the first at ${formatAddress(first)}`,
    expected: () => "the same bytes in every read",
    found: ({ bytes: size }) => `${bytes(size)} that differ in one bit`,
    why: "A contact that opens and closes puts the same bit wrong at places that chance picks.",
    next: "Clean and check the contact of the named data line, then read again.",
    since,
  },
  "soundness/contact-on-address-line": {
    severity: "stop",
    title: "One read holds content from across an address line",
    says: ({ line, bytes: size, explained, first }) =>
      `${explained} of ${bytes(size)} that differ hold what the other read has across A${line}, the first at ${formatAddress(first)}`,
    expected: () => "the same bytes in every read",
    found: ({ line }) => `content from across A${line}`,
    why: "A contact that opens and closes reads from the wrong place.",
    next: "Clean and check the contact of the named address line (bit of the byte address), then read again.",
    since,
  },
  "soundness/reads-shifted": {
    severity: "stop",
    title: "One read lost or gained bytes",
    says: ({ from, by, read }) =>
      `from ${formatAddress(from)} on, read ${read} equals the first one ${bytes(Math.abs(by))} ${by > 0 ? "later" : "earlier"}`,
    expected: () => "the same bytes at the same addresses",
    found: ({ by }) => `content displaced by ${bytes(Math.abs(by))}`,
    why: "Behind that place nothing stands at its address.",
    next: "Read again; a slower interface speed helps against lost bytes.",
    since,
  },
  "soundness/vote-open": {
    severity: "review",
    title: "The vote left bytes open",
    says: ({ open, settled, reads, first }) =>
      `${bytes(open)} have no majority among ${reads} reads, the first at ${formatAddress(first)}; ${settled} were settled`,
    expected: () => "a majority for every byte",
    found: ({ open }) => `${bytes(open)} without one`,
    why: "What is open stays a hole: nothing is made up for it.",
    next: "Add reads, better an odd number of them.",
    since,
  },
  "soundness/vote-taken": {
    severity: "note",
    title: "The reads were voted byte by byte",
    says: ({ settled, reads, own, first }) =>
      `${bytes(settled)} that ${settled === 1 ? "differs" : "differ"} among ${reads} reads ${settled === 1 ? "was" : "were"} settled by majority, and none is open${own > 0 ? `; ${bytes(own)} that the unit writes by itself are those of ${first}` : ""}`,
    why: "A vote helps against errors of chance, not against a fault that every read shares.",
    next: "Write the voted image to a file, where that was not done: its checksums decide whether it can be relied on.",
    since,
  },
};
