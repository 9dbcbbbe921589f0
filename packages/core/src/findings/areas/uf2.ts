import { formatAddress } from "../../bytes/hex.js";
import type { Entries } from "../finding.js";

/** What the reader of UF2 files can say. */
export interface Uf2Facts {
  "uf2/family": { readonly families: readonly string[]; readonly blocks: number };
  "uf2/block-damaged": {
    readonly block: number;
    readonly field: string;
    readonly expected: string;
    readonly got: string;
  };
  "uf2/file-cut": { readonly blocks: number; readonly rest: number };
  "uf2/address-overflow": { readonly block: number; readonly address: number; readonly length: number };
  "uf2/blocks-missing": BlockCount & { readonly first: number; readonly missing: number };
  "uf2/counts-differ": BlockCount & { readonly other: number; readonly block: number };
  "uf2/families-mixed": { readonly families: readonly string[] };
  "uf2/blocks-passed-over": { readonly count: number; readonly first: number };
  "uf2/files-passed-over": { readonly count: number; readonly first: number };
  "uf2/digests-unread": { readonly count: number };
}

interface BlockCount {
  readonly family: string;
  readonly stated: number;
}

const again = "Fetch the file again from where it was made.";

export const uf2Entries: Entries<Uf2Facts> = {
  "uf2/family": {
    severity: "note",
    title: "The file says for which processors it is",
    says: ({ families, blocks }) => `${blocks} blocks; family ${families.join(", ")}`,
    why: "A loader takes only the blocks of its own family.",
    next: "Compare the family with the processor of the unit.",
    since: "0.1.0",
  },
  "uf2/block-damaged": {
    severity: "stop",
    title: "A block of the file is damaged",
    says: ({ block, field, expected, got }) =>
      `block ${block} (offset ${512 * block}): ${field} is ${got}, expected ${expected}; the block was left out`,
    expected: ({ expected }) => expected,
    found: ({ got }) => got,
    why: "A loader passes such a block over without a word, and its part of the memory stays as it was.",
    next: again,
    since: "0.1.0",
  },
  "uf2/file-cut": {
    severity: "stop",
    title: "The file ends inside a block",
    says: ({ blocks, rest }) => `after ${blocks} blocks of 512 bytes ${rest} bytes are left`,
    expected: () => "whole blocks of 512 bytes",
    found: ({ rest }) => `${rest} bytes more`,
    why: "The file was cut short, or something was appended.",
    next: again,
    since: "0.1.0",
  },
  "uf2/address-overflow": {
    severity: "stop",
    title: "A block runs past the last address",
    says: ({ block, address, length }) =>
      `block ${block} puts ${length} bytes at ${formatAddress(address)}, past 0xFFFFFFFF; it was left out`,
    expected: () => "data that end at 0xFFFFFFFF or before",
    found: ({ address, length }) => `data up to 0x${(address + length - 1).toString(16).toUpperCase()}`,
    why: "There is no memory above.",
    next: again,
    since: "0.1.0",
  },
  "uf2/blocks-missing": {
    severity: "stop",
    title: "Blocks are missing",
    says: ({ family, stated, first, missing }) =>
      `${family}: ${missing} of ${stated} blocks are not in the file, the first of them number ${first}`,
    expected: ({ stated }) => `${stated} blocks`,
    found: ({ stated, missing }) => `${stated - missing}`,
    why: "The file was cut short or lost a part; a loader waits for the missing blocks for ever.",
    next: again,
    since: "0.1.0",
  },
  "uf2/counts-differ": {
    severity: "review",
    title: "Blocks state different numbers of blocks",
    says: ({ family, stated, other, block }) =>
      `${family}: the first block counts ${stated} blocks, block ${block} counts ${other}`,
    expected: ({ stated }) => `${stated} blocks`,
    found: ({ other }) => `${other}`,
    why: "Files that were joined look so. A loader restarts when the number changes.",
    next: "Find out what the file was joined from.",
    since: "0.1.0",
  },
  "uf2/families-mixed": {
    severity: "review",
    title: "The file is for several families of processors",
    says: ({ families }) => `the blocks name the families ${families.join(", ")}; all of them were read into one image`,
    expected: () => "one family",
    found: ({ families }) => families.join(", "),
    why: "A loader takes the blocks of its own family only: what would be written is less than what was read here.",
    next: "Have the file written for the one family.",
    since: "0.1.0",
  },
  "uf2/blocks-passed-over": {
    severity: "note",
    title: "Blocks that are not for the memory were passed over",
    says: ({ count, first }) =>
      `${count} blocks are marked as not for the main flash, the first of them block ${first}`,
    why: "They carry remarks, or content that a loader does not write.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "uf2/files-passed-over": {
    severity: "review",
    title: "The file carries files and not only memory",
    says: ({ count, first }) =>
      `${count} blocks belong to files, the first of them block ${first}; they have no address and were passed over`,
    expected: () => "blocks with addresses",
    found: ({ count }) => `${count} of files`,
    why: "What they hold is not in the image.",
    next: "Take the files out with the program that made them.",
    since: "0.1.0",
  },
  "uf2/digests-unread": {
    severity: "note",
    title: "Digests in the file were not checked",
    says: ({ count }) => `${count} blocks carry an MD5 of a part of the memory; it was not computed`,
    why: "They let a loader skip what is there already, and say nothing that the blocks do not say.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
};
