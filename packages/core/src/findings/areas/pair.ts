import { formatAddress } from "../../bytes/hex.js";
import { counted, hexByte } from "../amounts.js";
import type { CatalogueEntry, Entries, Severity } from "../finding.js";

/** What a difference looks like, behind its place or the number of places. */
const looks = {
  text: "in text",
  flag: "like a flag",
  complement: "with every bit turned over",
  reordered: "with the same bytes in another order",
  "checksum-like": "like a checksum",
  dense: "like a key or a digest",
  other: "of no known kind",
};

/** What the two units are called where they are not the left and the right one of a pair. */
interface Called {
  readonly units?: { readonly left: string; readonly right: string };
}

/** How far the left image would have to be moved, down when negative, to be like the right one, and the share then. */
interface Moved {
  readonly by: number;
  readonly share: number;
}

/** What differs in one region without a reason. The bytes of the first run are absent where they are not for showing. */
export interface RegionDiffers extends Called {
  readonly region: string;
  readonly bytes: number;
  readonly runs: number;
  readonly first: number;
  readonly left: string | undefined;
  readonly right: string | undefined;
}

/** A number that the two units state differently. */
export interface NumberDiffers extends Called {
  readonly field: string;
  readonly left: string;
  readonly right: string;
}

/** Where the two units of a mirrored pair agree, and where they do not. */
export interface PairFacts {
  "pair/same-file": { readonly sha256: string };
  "pair/contents-identical": Record<never, never>;
  "pair/learnt-in-one-only": {
    readonly region: string;
    readonly bytes: number;
    readonly value: number;
    readonly erased: boolean;
  };
  "pair/same-side": { readonly side: string };
  "pair/sides-exchanged": { readonly left: string; readonly right: string };
  "pair/side-unlisted": { readonly found: string; readonly allowed: readonly string[] };
  "pair/side-unreadable": Record<never, never>;
  "pair/sides-undeclared": Record<never, never>;
  "pair/pairing-undeclared": Record<never, never>;
  "pair/boot-differs": RegionDiffers;
  "pair/program-differs": RegionDiffers;
  "pair/calibration-differs": RegionDiffers;
  "pair/coding-differs": RegionDiffers;
  "pair/identity-differs": RegionDiffers;
  "pair/immobiliser-differs": RegionDiffers;
  "pair/spare-differs": RegionDiffers;
  "pair/undescribed-differs": RegionDiffers;
  "pair/rule-broken": {
    readonly rule: string;
    readonly kind: string;
    readonly why: string;
    readonly expected: string;
    readonly found: string;
  };
  "pair/rule-untold": { readonly rule: string; readonly reason: string };
  "pair/hardware-number-differs": NumberDiffers;
  "pair/software-number-differs": NumberDiffers;
  "pair/calibration-number-differs": NumberDiffers;
  "pair/boot-version-differs": NumberDiffers;
  "pair/part-number-differs": NumberDiffers;
  "pair/machine-number-differs": NumberDiffers;
  "pair/build-differs": NumberDiffers;
  "pair/serial-number-same": { readonly field: string; readonly value: string };
  "pair/region-moved": Called & { readonly region: string };
  "pair/part-in-one-only": Called & {
    readonly knownIn: "left" | "right";
    readonly region: string | undefined;
    readonly bytes: number;
    readonly first: number;
    /** Whether all of it reads as erased memory. */
    readonly erased: boolean;
  };
  /** Bytes that both know and that may be anything; none when they know no address in common. */
  "pair/nothing-compared": { readonly free: number; readonly moved?: Moved | undefined };
  "pair/unrelated": {
    readonly share: number;
    readonly bytes: number;
    readonly moved: Moved | undefined;
  };
  "pair/sizes-differ": {
    readonly left: number;
    readonly right: number;
    /** The one byte that everything is which only one of the two holds, if it is one. */
    readonly beyond: number | undefined;
  };
  "pair/one-inside-other": { readonly inner: string; readonly inside: number; readonly whole: number };
  "pair/differences-unexplained": {
    readonly bytes: number;
    readonly runs: number;
    readonly clusters: number;
    readonly share: number;
    readonly kinds: readonly { readonly kind: keyof typeof looks; readonly clusters: number }[];
  };
  "pair/difference-described": {
    readonly kind: keyof typeof looks;
    readonly bytes: number;
    readonly start: number;
    readonly left: string;
    readonly right: string;
    readonly text: readonly [string, string] | undefined;
  };
}

/** Never rounded up: what is not all equal is not said to be. */
const percent = (share: number) => `${(Math.floor(1000 * share + 1e-6) / 10).toFixed(1)} %`;

const movedText = (moved: Moved | undefined) =>
  moved
    ? `; with the left image moved ${moved.by < 0 ? "down" : "up"} by ${counted(Math.abs(moved.by), "byte")} (0x${Math.abs(moved.by).toString(16).toUpperCase()}), ${percent(moved.share)} of the content are equal`
    : "";

const inLeft = ({ units }: Called) => `in the ${units?.left ?? "left unit"}`;
const inRight = ({ units }: Called) => `in the ${units?.right ?? "right unit"}`;

function regionEntry(severity: Severity, title: string, why: string, next: string): CatalogueEntry<RegionDiffers> {
  return {
    severity,
    title,
    says: ({ region, bytes, runs, first }) =>
      `region ${region}: ${counted(bytes, "byte")} in ${counted(runs, "run")} ${bytes === 1 ? "differs" : "differ"} without a reason, the first at ${formatAddress(first)}`,
    expected: (facts) =>
      facts.left === undefined ? "the same bytes in both units" : `${facts.left} as ${inLeft(facts)}`,
    found: (facts) =>
      facts.right === undefined ? `${counted(facts.bytes, "byte")} unequal` : `${facts.right} ${inRight(facts)}`,
    why,
    next,
    since: "0.1.0",
  };
}

function numberEntry(what: string, why: string, next: string): CatalogueEntry<NumberDiffers> {
  return {
    severity: "stop",
    title: `The two units state different ${what}`,
    says: (facts) => `${facts.field} is ${facts.left} ${inLeft(facts)} and ${facts.right} ${inRight(facts)}`,
    expected: ({ left }) => `${left} in both`,
    found: (facts) => `${facts.right} ${inRight(facts)}`,
    why,
    next,
    since: "0.1.0",
  };
}

const findOut =
  "Establish from the machine's papers and the label which of the two belongs to this machine; the other unit was replaced or changed.";

export const pairEntries: Entries<PairFacts> = {
  "pair/same-file": {
    severity: "stop",
    title: "The same file was given twice",
    says: ({ sha256 }) => `both files have the SHA-256 ${sha256.slice(0, 16)}..., so nothing was compared`,
    expected: () => "a read of each unit",
    found: () => "one file twice",
    why: "A file always agrees with itself. Two units of one pair never hold the very same bytes.",
    next: "Give the read of the left unit and the read of the right one; if both reads came out the same, one unit was read twice.",
    since: "0.1.0",
  },
  "pair/contents-identical": {
    severity: "review",
    title: "The two images hold exactly the same bytes",
    says: () => "not a single byte differs between the two images",
    expected: () => "two units that differ at least in what each writes by itself",
    found: () => "identical content",
    why: "Two units that have run differ in counters and adaptation at least: one unit may have been read twice, or one is a clone of the other.",
    next: "Make sure that each unit was read, then compare serial numbers with the labels.",
    since: "0.1.0",
  },
  "pair/learnt-in-one-only": {
    severity: "note",
    title: "Only one of the two has learnt anything",
    says: ({ region, bytes, value, erased }) =>
      `region ${region}: ${counted(bytes, "byte")} that hold something in the other unit ${bytes === 1 ? "is" : "are"} ${erased ? "erased memory" : hexByte(value)} here`,
    expected: ({ region }) => `something in ${region} of both, when both have run`,
    found: ({ bytes, erased }) => `${counted(bytes, "byte")} ${erased ? "erased" : "of one value"}`,
    why: "A unit that is new or was reset has learnt nothing yet; a page that could not be read looks the same.",
    next: "Nothing, when that unit is known to be new or reset; otherwise read it once more.",
    since: "0.1.0",
  },
  "pair/same-side": {
    severity: "stop",
    title: "Both units are coded for the same side",
    says: ({ side }) => `both units say that they are on the ${side} side`,
    expected: () => "one unit for each side",
    found: ({ side }) => `${side} twice`,
    why: "One engine would be driven with the other one's sensors, direction or cylinder order.",
    next: "Find out which unit sits on which side and code the other one, by the maker's own procedure.",
    since: "0.1.0",
  },
  "pair/sides-exchanged": {
    severity: "stop",
    title: "The sides are the wrong way round",
    says: ({ left, right }) => `the left file is of the ${left} unit and the right file of the ${right} unit`,
    expected: ({ left, right }) => `${right} first, then ${left}`,
    found: ({ left, right }) => `${left} first, then ${right}`,
    why: "Either the files were given in the wrong order, or the units are coded for each other's place.",
    next: "If the order of the files is the mistake, give them the other way round. If the units sit as given, their coding is exchanged: do not start.",
    since: "0.1.0",
  },
  "pair/side-unlisted": {
    severity: "stop",
    title: "A unit is coded for no side of this family",
    says: ({ found, allowed }) => `the side reads ${found}, this family knows ${allowed.join(" and ")}`,
    expected: ({ allowed }) => allowed.join(" or "),
    found: ({ found }) => found,
    why: "A unit that does not know its side was never coded, comes from another machine, or was read badly.",
    next: "Read it again; if the value stays, have it coded before it is used.",
    since: "0.1.0",
  },
  "pair/side-unreadable": {
    severity: "review",
    title: "A unit's side could not be read",
    says: () => "the field that tells the side is not in the image",
    expected: () => "a readable side",
    found: () => "nothing",
    why: "Whether each unit is on its own side is half of the question.",
    next: "Read the unit again over the whole memory.",
    since: "0.1.0",
  },
  "pair/sides-undeclared": {
    severity: "review",
    title: "The profile does not say how a unit knows its side",
    says: () => "no field of the profile tells the side, so it could not be checked",
    expected: () => "a field that tells the side",
    found: () => "none",
    why: "Two units coded for the same side would pass unseen.",
    next: "Add pair.sides to the profile, or check the coding with the diagnostic tester.",
    since: "0.1.0",
  },
  "pair/pairing-undeclared": {
    severity: "review",
    title: "The profile does not say how a pair of this family looks",
    says: () => "the profile has no pairing rules, so every byte was expected to be the same",
    expected: () => "a pair section in the profile",
    found: () => "none",
    why: "What must differ between the sides was not checked.",
    next: "Add a pair section to the profile.",
    since: "0.1.0",
  },
  "pair/boot-differs": regionEntry(
    "stop",
    "The boot software differs",
    "A boot block starts only the generation of software that it was made for.",
    findOut,
  ),
  "pair/program-differs": regionEntry(
    "stop",
    "The program differs",
    "The two units run different software: one of them was replaced, updated alone, or changed.",
    findOut,
  ),
  "pair/calibration-differs": regionEntry(
    "stop",
    "The calibration differs",
    "Both engines must be governed by the same data; a single changed value can move a limit.",
    findOut,
  ),
  "pair/coding-differs": regionEntry(
    "stop",
    "The coding differs",
    "Coding tells the unit which market, engine and gearbox it works with; beside the side it must be the same in both.",
    findOut,
  ),
  "pair/identity-differs": regionEntry(
    "stop",
    "The identity data differ",
    "Something that the units state about themselves differs and no rule of the profile expects it.",
    findOut,
  ),
  "pair/immobiliser-differs": regionEntry(
    "review",
    "The immobiliser data differ",
    "In some families both units share them, in others each has its own: the profile does not say.",
    "Ask for the family's practice and add a pairing rule. Such data are carried whole, for their owner only.",
  ),
  "pair/spare-differs": regionEntry(
    "review",
    "Memory that should be unused differs",
    "Something is stored where the profile says that nothing is.",
    "Look at what is stored there, and read both units again.",
  ),
  "pair/undescribed-differs": regionEntry(
    "review",
    "Bytes that the profile does not describe differ",
    "Nobody has said what these bytes are for, so nobody can say whether they may differ.",
    "Describe them in the profile.",
  ),
  "pair/rule-broken": {
    severity: "stop",
    title: "A rule of this pair does not hold",
    says: ({ rule, kind, why }) => `${rule} (${kind}) does not hold: ${why}`,
    expected: ({ expected }) => expected,
    found: ({ found }) => found,
    why: "The maker's software relies on it: what one side has, the other must answer.",
    next: "Establish which unit is the one in order, and give the other its own side's data.",
    since: "0.1.0",
  },
  "pair/rule-untold": {
    severity: "review",
    title: "A rule of this pair could not be checked",
    says: ({ rule, reason }) => `${rule} could not be checked: ${reason}`,
    expected: ({ rule }) => `${rule} to hold`,
    found: ({ reason }) => reason,
    why: "What could not be checked may be wrong.",
    next: "Read both units again over the whole memory.",
    since: "0.1.0",
  },
  "pair/hardware-number-differs": numberEntry(
    "hardware numbers",
    "Software of one hardware can start on the other and still drive its outputs wrongly.",
    findOut,
  ),
  "pair/software-number-differs": numberEntry("software numbers", "The two units run different software.", findOut),
  "pair/calibration-number-differs": numberEntry(
    "calibration numbers",
    "The two units are governed by different data.",
    findOut,
  ),
  "pair/boot-version-differs": numberEntry(
    "boot versions",
    "A boot block starts only the generation of software that it was made for.",
    findOut,
  ),
  "pair/part-number-differs": numberEntry("part numbers", "The two units are not the same part.", findOut),
  "pair/machine-number-differs": numberEntry(
    "machine numbers",
    "One of the units comes from another machine.",
    "Ask where the unit came from. Machine numbers are copied only for their owner, with proof.",
  ),
  "pair/build-differs": numberEntry(
    "builds",
    "One of the units is coded for another market, engine or gearbox.",
    findOut,
  ),
  "pair/serial-number-same": {
    severity: "stop",
    title: "Both units carry the same serial number",
    says: ({ field, value }) => `${field} is ${value} in both units`,
    expected: () => "a serial number of its own in each unit",
    found: ({ value }) => `${value} twice`,
    why: "One unit was cloned whole onto the other, or one unit was read twice.",
    next: "Compare both labels with the reads. A clone carries the other side's coding and owner's data too.",
    since: "0.1.0",
  },
  "pair/region-moved": {
    severity: "stop",
    title: "A region lies elsewhere in the other unit",
    says: (facts) => `region ${facts.region} has another place or length ${inRight(facts)}`,
    expected: () => "the same layout in both units",
    found: () => "two layouts",
    why: "The images state their own layout, and they state two: they are not the same software.",
    next: findOut,
    since: "0.1.0",
  },
  "pair/part-in-one-only": {
    severity: "review",
    title: "Part of the memory is known in one unit only",
    says: ({ knownIn, units, region, bytes, first, erased }) =>
      `${counted(bytes, "byte")} ${region === undefined ? "outside all regions" : `of region ${region}`} ${bytes === 1 ? "is" : "are"} in the ${units?.[knownIn] ?? `${knownIn} image`} only, from ${formatAddress(first)} on${erased ? "; there, all of it reads as erased memory" : ""}`,
    expected: () => "both images to know the same addresses",
    found: ({ knownIn, units }) => `known in the ${units?.[knownIn] ?? `${knownIn} image`} only`,
    why: "What only one read holds could not be compared.",
    next: "Read the other unit again over the whole memory, into a file that leaves nothing out: many hex files leave out erased rows.",
    since: "0.1.0",
  },
  "pair/nothing-compared": {
    severity: "review",
    title: "There was nothing to compare",
    says: ({ free, moved }) =>
      free === 0
        ? `the two images have no address in common${movedText(moved)}`
        : `the profile lets every byte of boot, program, calibration and coding that both images hold be anything (${counted(free, "byte")})`,
    expected: () => "two images of the same memory, and something in it that must agree",
    found: ({ free }) =>
      free === 0
        ? "no address that both know"
        : `${counted(free, "byte")} that a rule frees or the units write by themselves`,
    why: "One file is for another base address or holds another part of the memory, or the profile frees all that could tell the two apart.",
    next: "Give the base address of a raw file, or take reads of the same part; where the profile frees everything, mend the profile.",
    since: "0.1.0",
  },
  "pair/unrelated": {
    severity: "stop",
    title: "The two images are not the same software at the same addresses",
    says: ({ share, bytes, moved }) =>
      `only ${percent(share)} of the places that hold content are equal; ${counted(bytes, "byte")} ${bytes === 1 ? "differs" : "differ"}${movedText(moved)}`,
    expected: () => "images that are alike but for a few places",
    found: ({ share }) => `${percent(share)} equal`,
    why: "Two units of a pair carry the same software. These two do not even resemble each other at the same addresses.",
    next: "Check base address and byte order of both reads, and that nothing stands before the content; if they are right, one unit carries other software.",
    since: "0.1.0",
  },
  "pair/sizes-differ": {
    severity: "review",
    title: "The two images are not of one size",
    says: ({ left, right, beyond }) =>
      `the left image holds ${counted(left, "byte")}, the right one ${right}${beyond === undefined ? "" : `; whatever only one of them holds reads ${hexByte(beyond)}`}`,
    expected: ({ left }) => counted(left, "byte"),
    found: ({ right }) => counted(right, "byte"),
    why: "One read was cut, a file of records left erased rows out, or the two units have different parts.",
    next: "Read both units with the same settings, over the whole part, into files that leave nothing out.",
    since: "0.1.0",
  },
  "pair/one-inside-other": {
    severity: "review",
    title: "One image lies unchanged inside the other",
    says: ({ inner, inside, whole }) =>
      `all ${inside} bytes of the ${inner} image are in the other one, which holds ${whole}`,
    expected: () => "two images of the same extent",
    found: ({ inside, whole }) => `${inside} of ${whole} bytes`,
    why: "One file holds more of the memory than the other, for instance the boot block too.",
    next: "Compare reads of the same extent before the rest is believed.",
    since: "0.1.0",
  },
  "pair/differences-unexplained": {
    severity: "review",
    title: "The two images differ, and nothing says why",
    says: ({ bytes, runs, clusters, share, kinds }) =>
      `${counted(bytes, "byte")} in ${counted(runs, "run")} and ${counted(clusters, "place")} ${bytes === 1 ? "differs" : "differ"} (${percent(share)} of the content is equal); ${kinds.map(({ kind, clusters: places }) => `${places} ${looks[kind]}`).join(", ")}`,
    expected: () => "a profile that says what may differ",
    found: ({ bytes }) => `${counted(bytes, "byte")} without a reason`,
    why: "Few differences prove nothing: software for another build can differ in two bytes.",
    next: "Write or draft a profile of the family, and compare with it.",
    since: "0.1.0",
  },
  "pair/difference-described": {
    severity: "note",
    title: "What one difference looks like",
    says: ({ kind, bytes, start, left, right, text }) =>
      `at ${formatAddress(start)} ${counted(bytes, "byte")}, ${looks[kind]}: ${left} and ${right}${text ? `, in the text "${text[0]}" and "${text[1]}"` : ""}`,
    why: "Its look is a hint to what it is, and no more.",
    next: "Look the place up in what is known of the family.",
    since: "0.1.0",
  },
};
