import type { Entries } from "../finding.js";

/** Whether a chained record still says what was written into it. */
export interface RecordFacts {
  "record/entry-changed": { readonly entry: number; readonly stored: string; readonly computed: string };
  "record/entry-replaced": {
    /** The number of the entry; 0 when the first one follows another. */
    readonly entry: number;
    readonly wanted: string;
    readonly found: string;
  };
  "record/entry-inserted": { readonly entry: number };
  "record/entry-moved": { readonly entry: number };
  "record/entries-missing": { readonly first: number; readonly last: number; readonly atEnd: boolean };
  "record/end-differs": {
    readonly named: number;
    readonly namedDigest: string;
    readonly entry: number;
    readonly digest: string;
  };
  "record/written-otherwise": Record<never, never>;
  "record/noted-digest-absent": { readonly digest: string };
  "record/added-since-noted": { readonly entry: number; readonly entries: number };
  "record/end-unproven": { readonly entries: number };
}

const entries = (first: number, last: number) =>
  first === last ? `entry ${first}` : `${last - first + 1} entries (${first} to ${last})`;
const begins = (digest: string) => digest.slice(0, 12);

const distrust = "Do not rely on this file: compare it with a copy from before, and keep both.";

export const recordEntries: Entries<RecordFacts> = {
  "record/entry-changed": {
    severity: "stop",
    title: "An entry was changed",
    says: ({ entry, stored, computed }) =>
      `entry ${entry} comes to the digest ${begins(computed)}... and carries ${begins(stored)}...`,
    expected: ({ computed }) => `the digest ${computed} that the entry comes to`,
    found: ({ stored }) => stored,
    why: "Something in this entry, or its digest, is no longer what was written: what it says happened may not have happened so.",
    next: distrust,
    since: "0.1.0",
  },
  "record/entry-replaced": {
    severity: "stop",
    title: "An entry was replaced by another",
    says: ({ entry }) =>
      entry === 0
        ? "entry 1 was written after another entry, which is not here"
        : `entry ${entry + 1} was written after another entry ${entry} than the one that stands here`,
    expected: ({ wanted }) => wanted,
    found: ({ found }) => found,
    why: "Each entry carries the digest of the one before. Here that one was exchanged after the fact, with a digest of its own made for it.",
    next: distrust,
    since: "0.1.0",
  },
  "record/entry-inserted": {
    severity: "stop",
    title: "An entry was put in afterwards",
    says: ({ entry }) =>
      `no other entry goes on from this entry ${entry}, and its place in the chain is taken or empty`,
    expected: () => "an entry that the next one goes on from",
    found: ({ entry }) => `another entry ${entry}`,
    why: "It was not written by the run that it tells of, or is a second copy: what it tells may not have happened.",
    next: distrust,
    since: "0.1.0",
  },
  "record/entry-moved": {
    severity: "stop",
    title: "An entry stands in another place",
    says: ({ entry }) => `entry ${entry} does not stand between its neighbours`,
    expected: () => "the entries in the order in which they were written",
    found: ({ entry }) => `entry ${entry} out of its place`,
    why: "The order tells what was known before what was done.",
    next: distrust,
    since: "0.1.0",
  },
  "record/entries-missing": {
    severity: "stop",
    title: "Entries are missing",
    says: ({ first, last, atEnd }) =>
      `${entries(first, last)} ${first === last ? "is" : "are"} missing${atEnd ? " at the end" : ""}`,
    expected: ({ first, last }) => entries(first, last),
    found: () => "none of that",
    why: "Something that was recorded is no longer told.",
    next: distrust,
    since: "0.1.0",
  },
  "record/end-differs": {
    severity: "stop",
    title: "The end is not the one that the record names",
    says: ({ named, namedDigest, entry, digest }) =>
      `the closing line names entry ${named} with digest ${begins(namedDigest)}... as the last, and the last is entry ${entry} with ${begins(digest)}...`,
    expected: ({ named, namedDigest }) => `entry ${named} with ${namedDigest}`,
    found: ({ entry, digest }) => `entry ${entry} with ${digest}`,
    why: "The last entry was added, exchanged or changed by something that did not close the record after it.",
    next: distrust,
    since: "0.1.0",
  },
  "record/written-otherwise": {
    severity: "review",
    title: "The file is laid out in another way",
    says: () => "the entries hold together, and the text around them is not as this program lays it out",
    expected: () => "the layout that the entries are written in",
    found: () => "other blanks, another order of keys, or numbers and characters spelled in another way",
    why: "Another program has written the file. What the entries say is unchanged.",
    next: "Find out what rewrote it. Nothing is added to such a file; go on with a copy from before, or begin a new record.",
    since: "0.1.0",
  },
  "record/noted-digest-absent": {
    severity: "stop",
    title: "The noted digest is not in the record",
    says: () => "no entry has the digest that was noted",
    expected: ({ digest }) => digest,
    found: () => "no such entry",
    why: "The entry that the digest was noted from was removed or changed since, or the digest belongs to another record.",
    next: distrust,
    since: "0.1.0",
  },
  "record/added-since-noted": {
    severity: "note",
    title: "Entries were added since the digest was noted",
    says: ({ entry, entries: count }) =>
      `the noted digest is that of entry ${entry}; ${count === 1 ? "1 entry follows" : `${count} entries follow`} it`,
    why: "Everything up to the noted entry is as it was then. Of what follows only the chain speaks.",
    next: "Nothing, when runs were recorded since; note the digest of the last entry.",
    since: "0.1.0",
  },
  "record/end-unproven": {
    severity: "note",
    title: "The record was held against itself only",
    says: ({ entries: count }) =>
      `no digest was given to hold ${count === 1 ? "its entry" : `its ${count} entries`} against; whoever writes the end of a record anew, with all digests, leaves no trace in it`,
    why: "A chain shows a change to whoever has noted a digest of it elsewhere. Without one, entries that were cut off the end, or rewritten to the end, do not show.",
    next: "Hold it against the last digest that a report printed.",
    since: "0.1.0",
  },
};
