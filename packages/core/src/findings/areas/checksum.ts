import { formatAddress } from "../../bytes/hex.js";
import type { Span } from "../../bytes/span.js";
import { bytes, hexByte } from "../amounts.js";
import type { Entries } from "../finding.js";

/** Whether what an image stores about its own parts agrees with them. */
export interface ChecksumFindingFacts {
  "checksum/mismatch": {
    readonly checksum: string;
    readonly algorithm: string;
    readonly bytes: number;
    readonly within: Span;
    readonly stored: string;
    /** What would have to be stored; undefined when that cannot be told. */
    readonly computed: string | undefined;
    readonly whole?: { readonly value: string; readonly constant: string } | undefined;
    /** Whether the value is not stored in the image, but stated outside of it. */
    readonly stated?: true | undefined;
  };
  "checksum/further-mismatches": { readonly count: number };
  "checksum/not-computable": { readonly checksum: string; readonly algorithm: string; readonly reason: string };
  "checksum/blank": { readonly checksum: string; readonly byte: number; readonly bytes: number };
  "checksum/further-unchecked": { readonly count: number };
  "checksum/undeclared": Record<never, never>;
  "checksum/inapplicable": { readonly declared: number };
  "checksum/uncovered": {
    readonly region: string;
    readonly role: string;
    readonly bytes: number;
    readonly of: number;
    readonly first: number;
  };
  "checksum/order-unseen": { readonly regions: readonly string[] };
}

export const checksumEntries: Entries<ChecksumFindingFacts> = {
  "checksum/mismatch": {
    severity: "stop",
    title: "A checksum does not hold",
    says: ({ checksum, algorithm, bytes: size, within, stored, computed, whole, stated }) =>
      `${checksum} (${algorithm} over ${bytes(size)} within ${formatAddress(within.start)}..${formatAddress(within.end)}) ${
        stated ? `is stated as ${stored}` : `stores ${stored}`
      }${
        whole ? `, so the whole comes to ${whole.value} and not to ${whole.constant}` : ""
      }${computed === undefined ? "" : stated ? `; the image gives ${computed}` : `; ${computed} would hold`}`,
    expected: ({ stored, computed, whole, stated }) =>
      stated ? stored : (computed ?? `a whole that comes to ${whole?.constant}`),
    found: ({ stored, computed, whole, stated }) =>
      stated ? (computed ?? "") : computed === undefined && whole ? whole.value : stored,
    why: "Something in this range was changed or read wrongly, or the stored value itself was; many units refuse to start so.",
    next: "Read the unit again. If it stays the same, the content was changed without its checksum: do not write it, find out what was changed. Where units that are known to be good fail it too, the profile describes it wrongly.",
    since: "0.1.0",
  },
  "checksum/further-mismatches": {
    severity: "stop",
    title: "Many checksums do not hold",
    says: ({ count }) => `${count} more checksums do not hold`,
    expected: () => "none",
    found: ({ count }) => String(count),
    why: "So many failures at once come from a bad read, another layout, or a profile of another family.",
    next: "Look at the first ones; check byte order, base address and profile before anything else.",
    since: "0.1.0",
  },
  "checksum/not-computable": {
    severity: "review",
    title: "A checksum could not be checked",
    says: ({ checksum, algorithm, reason }) => `${checksum} (${algorithm}) could not be checked: ${reason}`,
    expected: ({ checksum }) => `${checksum} to be computed and held against its stored value`,
    found: ({ reason }) => reason,
    why: "What it covers stands unchecked: a damaged byte there would not show.",
    next: "Read the unit again over the whole memory; check that the profile fits this unit.",
    since: "0.1.0",
  },
  "checksum/blank": {
    severity: "review",
    title: "A checksum stands over blank memory",
    says: ({ checksum, byte, bytes: size }) =>
      `the ${bytes(size)} that ${checksum} covers and its stored value all read ${hexByte(byte)}`,
    expected: () => "content with a checksum",
    found: ({ byte }) => `${hexByte(byte)} throughout`,
    why: "Sums and CRCs can agree over memory that was never written: such an agreement proves nothing.",
    next: "Find out whether this part is in use in this unit; if it is, read again.",
    since: "0.1.0",
  },
  "checksum/further-unchecked": {
    severity: "review",
    title: "Many checksums could not be checked",
    says: ({ count }) => `${count} more checksums could not be checked or stand over blank memory`,
    expected: () => "none",
    found: ({ count }) => String(count),
    why: "What they cover stands unchecked.",
    next: "Look at the first ones: what they have in common shows whether the read or the profile is at fault.",
    since: "0.1.0",
  },
  "checksum/undeclared": {
    severity: "review",
    title: "The profile knows no checksum",
    says: () => "the profile declares no checksum, so nothing in the image vouches for the rest of it",
    expected: () => "at least one checksum",
    found: () => "none",
    why: "A read with a damaged byte looks just as good as a sound one.",
    next: "Compare several reads of the unit byte by byte, and look for its checksums.",
    since: "0.1.0",
  },
  "checksum/inapplicable": {
    severity: "review",
    title: "No checksum of the profile applies to this image",
    says: ({ declared }) =>
      `the profile declares ${declared === 1 ? "a checksum" : `${declared} checksums`}, and by what the image holds none applies`,
    expected: () => "at least one checksum that applies",
    found: () => "none",
    why: "The image itself says that nothing of it is checked; a damaged length or count says so too.",
    next: "Check the fields that decide which checksums apply, and compare several reads.",
    since: "0.1.0",
  },
  "checksum/uncovered": {
    severity: "review",
    title: "No checksum covers part of a region",
    says: ({ region, role, bytes: size, of, first }) =>
      `no checksum that holds covers ${size === of ? `the ${bytes(of)}` : `${size} of the ${bytes(of)}`} of region ${region} (${role}), the first at ${formatAddress(first)}`,
    expected: ({ of }) => `${bytes(of)} under a checksum that holds`,
    found: ({ bytes: size, of }) => bytes(of - size),
    why: "A damaged or changed byte there would not show in this image alone.",
    next: "Compare several reads of the unit, or hold the image against one that is known to be good.",
    since: "0.1.0",
  },
  "checksum/order-unseen": {
    severity: "note",
    title: "Only sums stand over part of what matters",
    says: ({ regions }) =>
      `of ${regions.join(", ")} a part is covered by nothing but sums, which can come out the same when bytes change places`,
    why: "A sum sees a changed byte, and not always that bytes, words or blocks stand in each other's place.",
    next: "Hold the image against a read of another unit with the same software, or against a listed release.",
    since: "0.1.0",
  },
};
