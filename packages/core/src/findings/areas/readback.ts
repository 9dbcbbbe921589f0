import { formatAddress } from "../../bytes/hex.js";
import { counted, hexByte } from "../amounts.js";
import type { CatalogueEntry, Entries } from "../finding.js";

/** Places of one region that look alike. */
export interface FaultFacts {
  /** Undefined outside all regions, and without a profile. */
  readonly region: string | undefined;
  readonly places: number;
  readonly bytes: number;
  readonly first: number;
  /** Bits that read as erased and should not, and that should and do not. */
  readonly stayed: number;
  readonly lost: number;
}

/** Bytes that only one of the two knows. */
interface OneSidedFacts {
  readonly region: string | undefined;
  readonly bytes: number;
  readonly first: number;
}

/** Whether what is in the unit is what was meant. */
export interface ReadbackFacts {
  "readback/erased-left": FaultFacts;
  "readback/bits-not-programmed": FaultFacts;
  "readback/bits-not-erased": FaultFacts;
  "readback/old-content": FaultFacts;
  "readback/block-shifted": FaultFacts & { readonly by: number };
  "readback/differs": FaultFacts;
  "readback/differs-undescribed": FaultFacts;
  "readback/write-cut-short": {
    readonly tail: "erased" | "old" | "other";
    readonly from: number;
    readonly to: number;
    readonly bytes: number;
  };
  "readback/not-read": OneSidedFacts;
  "readback/not-meant": OneSidedFacts;
  /** Bytes that both know and that the unit writes by itself; none when they know no address in common. */
  "readback/nothing-compared": { readonly own: number };
  "readback/learnt-erased": {
    readonly region: string;
    readonly bytes: number;
    readonly value: number;
    readonly erased: boolean;
  };
  "readback/files-identical": { readonly sha256: string };
  "readback/unit-wrote": { readonly bytes: number };
}

const since = "0.1.0";
const inRegion = (region: string | undefined) => (region === undefined ? "" : `region ${region}: `);
const where = ({ places, first }: FaultFacts) =>
  places === 1 ? `at ${formatAddress(first)}` : `in ${places} places, the first at ${formatAddress(first)}`;
const tails = {
  erased: "reads as erased memory",
  old: "holds what was there before the write",
  other: "holds something else",
} as const;

const writeAgain =
  "Write these places again by the maker's procedure, read back again, and run this command again; a part that fails twice is worn out.";

function faultEntry(
  title: string,
  what: (facts: FaultFacts) => string,
  why: string,
  next: string,
): CatalogueEntry<FaultFacts> {
  return {
    severity: "stop",
    title,
    says: (facts) => `${inRegion(facts.region)}${what(facts)} ${where(facts)}`,
    expected: ({ bytes }) => `${counted(bytes, "byte")} as meant`,
    found: ({ bytes }) => `${counted(bytes, "byte")} unequal`,
    why,
    next,
    since,
  };
}

const bitsText = ({ stayed, lost }: FaultFacts) =>
  `${counted(stayed, "bit")} stayed as erased memory reads, ${counted(lost, "bit")} should read as erased and ${lost === 1 ? "does" : "do"} not,`;

export const readbackEntries: Entries<ReadbackFacts> = {
  "readback/erased-left": faultEntry(
    "Memory was left erased where data was meant",
    ({ bytes }) => `${counted(bytes, "byte")} of what was meant ${bytes === 1 ? "reads" : "read"} as erased memory`,
    "The place was erased and then never programmed: a page was skipped, or its write failed.",
    writeAgain,
  ),
  "readback/bits-not-programmed": faultEntry(
    "Bits did not take the write",
    ({ stayed, bytes }) =>
      `${counted(stayed, "bit")} in ${counted(bytes, "byte")} stayed as erased memory reads, and none went the other way,`,
    "A cell that was programmed too weakly reads so: supply voltage too low, too short a pulse, or a worn part. It can get worse with heat.",
    writeAgain,
  ),
  "readback/bits-not-erased": faultEntry(
    "Bits were not erased before the write",
    ({ lost, bytes }) =>
      `${counted(lost, "bit")} in ${counted(bytes, "byte")} should read as erased and do not, and none goes the other way,`,
    "A write can only take an erased bit away: what was left of the old content is still in there.",
    writeAgain,
  ),
  "readback/old-content": faultEntry(
    "The old content is still there",
    ({ bytes }) => `${counted(bytes, "byte")} are what the unit held before the write`,
    "These places were neither erased nor written: they are protected, or were skipped.",
    writeAgain,
  ),
  "readback/block-shifted": {
    severity: "stop",
    title: "A block was written to other addresses than meant",
    says: (facts) =>
      `${inRegion(facts.region)}${counted(facts.bytes, "byte")} differ ${where(facts)}, and hold what was meant for ${counted(Math.abs(facts.by), "byte")} further ${facts.by > 0 ? "down" : "up"}`,
    expected: ({ bytes }) => `${counted(bytes, "byte")} at their own addresses`,
    found: ({ by }) => `content displaced by ${counted(Math.abs(by), "byte")}`,
    why: "A byte was lost or doubled on the way to the unit, or a block went to another address.",
    next: writeAgain,
    since,
  },
  "readback/write-cut-short": {
    severity: "stop",
    title: "The write was broken off",
    says: ({ tail, from, bytes }) =>
      `from ${formatAddress(from)} on, the memory ${tails[tail]}: ${counted(bytes, "byte")} of what was meant ${bytes === 1 ? "is" : "are"} missing`,
    expected: ({ to }) => `what was meant up to ${formatAddress(to)}`,
    found: ({ from }) => `what was meant up to ${formatAddress(from)}`,
    why: "The connection or the supply failed during the write.",
    next: "Do not start the machine. Secure supply and connection, write the whole image again, read back again.",
    since,
  },
  "readback/differs": faultEntry(
    "The memory is not what was meant, and no single cause explains it",
    (facts) => `${counted(facts.bytes, "byte")} ${facts.bytes === 1 ? "differs" : "differ"}, ${bitsText(facts)}`,
    "Either the write or the read-back went wrong; a poor contact on the bench makes both look like this.",
    "Read back again before anything is written again. When two reads agree with each other, write again.",
  ),
  "readback/differs-undescribed": {
    ...faultEntry(
      "The memory is not what was meant, and nobody has said whether it may differ there",
      (facts) => `${counted(facts.bytes, "byte")} ${facts.bytes === 1 ? "differs" : "differ"}, ${bitsText(facts)}`,
      "A unit writes into its own memory as soon as it is powered; only a profile says where.",
      "Give a profile; read back again and look whether the same places differ.",
    ),
    severity: "review",
  },
  "readback/not-read": {
    severity: "review",
    title: "Part of what was meant was not read back",
    says: ({ region, bytes, first }) =>
      `${inRegion(region)}${counted(bytes, "byte")} that ${bytes === 1 ? "was" : "were"} to be written ${bytes === 1 ? "is" : "are"} not in the read-back, the first at ${formatAddress(first)}`,
    expected: ({ bytes }) => counted(bytes, "byte"),
    found: () => "no bytes",
    why: "What was not read back is not known to be there.",
    next: "Read the unit again over the whole memory.",
    since,
  },
  "readback/not-meant": {
    severity: "review",
    title: "Nobody said what is meant in part of the unit",
    says: ({ region, bytes, first }) =>
      `${inRegion(region)}${counted(bytes, "byte")} of the read-back are in nothing that was to be written, the first at ${formatAddress(first)}`,
    expected: () => "an intended image over the whole memory",
    found: ({ bytes }) => `${counted(bytes, "byte")} without`,
    why: "What stands there was not compared with anything.",
    next: "Give the whole image that the unit is to hold, not only the part that was written.",
    since,
  },
  "readback/nothing-compared": {
    severity: "review",
    title: "There was nothing to compare",
    says: ({ own }) =>
      own === 0
        ? "the two images have no address in common"
        : `by the profile the unit writes every byte of boot, program, calibration and coding that both images hold by itself (${counted(own, "byte")})`,
    expected: () => "two images of the same memory, and something in it that stays as it was written",
    found: ({ own }) =>
      own === 0 ? "no address that both know" : `${counted(own, "byte")} that the unit writes by itself`,
    why: "One file is for another base address or holds another part of the memory, or the profile lets all of it change.",
    next: "Give the base address of a raw file; where the profile lets everything change, mend it.",
    since,
  },
  "readback/learnt-erased": {
    severity: "review",
    title: "What the unit had learnt reads as one value",
    says: ({ region, bytes: size, value, erased }) =>
      `region ${region}: ${counted(size, "byte")} that were meant to hold something read as ${erased ? "erased memory" : hexByte(value)}`,
    expected: ({ region }) => `in ${region} what was meant, or what the unit made of it since`,
    found: ({ bytes: size, erased }) => `${size} ${erased ? "erased" : "of one value"}`,
    why: "The pages may not have been programmed; or the unit cleared what it had learnt at its first start.",
    next: "Read the unit again before its first start. When it was started already, ask whether its kind begins anew then.",
    since: "0.1.0",
  },
  "readback/files-identical": {
    severity: "note",
    title: "The two files are the same, byte for byte",
    says: ({ sha256 }) => `both have the SHA-256 ${sha256.slice(0, 16)}...`,
    why: "Right after a write that is what is hoped for; a copy of the intended file looks the same.",
    next: "Make sure that the second file was read out of the unit after the write.",
    since,
  },
  "readback/unit-wrote": {
    severity: "note",
    title: "The unit has written in its own places",
    says: ({ bytes }) =>
      `${counted(bytes, "byte")} ${bytes === 1 ? "differs" : "differ"} where the unit writes by itself`,
    why: "Adaptation, fault memory and counters differ between any two reads of a unit that was powered.",
    next: "Nothing; these places are expected to differ.",
    since,
  },
};
