import { formatAddress } from "../../bytes/hex.js";
import type { Span } from "../../bytes/span.js";
import { bytes, byteText } from "../amounts.js";
import type { Entries } from "../finding.js";
import type { Told } from "./identity.js";

/** A byte of a stored checksum that had to become another. */
export interface ByteChanged {
  readonly address: number;
  readonly before: number;
  readonly after: number;
}

/** What a donor must say of itself, and what it says. */
interface Expectation {
  readonly name: string;
  readonly meaning: string | undefined;
  readonly oneOf: readonly string[];
  readonly told: readonly Told[];
}

/** What a composed image has of the donor's board and its twin has otherwise: numbers, and boot regions by name. */
export interface KeptBoard {
  readonly numbers: readonly { readonly field: string; readonly left: string; readonly right: string }[];
  readonly regions: readonly string[];
}

/** Whether a donor may be written with what a source holds, and what comes out of it. */
export interface DonorFacts {
  "donor/same-file": { readonly first: string; readonly second: string; readonly sha256: string };
  "donor/same-unit": { readonly with: "source" | "twin"; readonly field: string; readonly value: string };
  "donor/contents-identical": { readonly with: "source" | "twin" };
  "donor/twin-is-source": { readonly by: "file" | "serial-number" };
  "donor/regions-incomplete": {
    readonly unit: string;
    /** By name, with what is to become of this unit's bytes in them. */
    readonly regions: readonly { readonly region: string; readonly use: "carried" | "kept" | "overwritten" }[];
    readonly missing: number;
    readonly of: number;
    readonly first: number;
  };
  "donor/region-blank": { readonly unit: string; readonly region: string };
  "donor/hardware-refused": {
    readonly source: string;
    readonly donor: string;
    readonly accepted: readonly string[];
  };
  "donor/hardware-untold": { readonly unit: string };
  "donor/hardware-listed": { readonly source: string; readonly donor: string };
  "donor/hardware-superseding": { readonly source: string; readonly donor: string };
  "donor/expectation-missed": Expectation;
  "donor/expectation-open": Expectation;
  "donor/expectation-untold": Expectation;
  "donor/expectation-met": Expectation;
  "donor/hardware-overwritten": { readonly donor: string; readonly composed: string | undefined };
  "donor/part-size-differs": { readonly source: number | undefined; readonly donor: number | undefined };
  "donor/part-size-untold": Record<never, never>;
  "donor/region-moved": { readonly region: string };
  "donor/region-unplaced": { readonly region: string };
  "donor/regions-overlap": { readonly first: string; readonly second: string; readonly at: Span };
  "donor/boot-refuses": { readonly version: string; readonly software: string; readonly starts: readonly string[] };
  "donor/boot-changed": { readonly version: string };
  "donor/boot-unlisted": { readonly version: string; readonly software: string };
  "donor/boot-untold": Record<never, never>;
  "donor/boot-kept": { readonly version: string; readonly software: string; readonly source: string | undefined };
  "donor/boot-carried": { readonly version: string | undefined; readonly donor: string | undefined };
  "donor/origin-undecided": { readonly region: string; readonly role: string };
  "donor/side-unasked": Record<never, never>;
  "donor/twin-absent": Record<never, never>;
  "donor/software-unvouched": { readonly sheet: "absent" | "silent" };
  "donor/owner-untold": { readonly regions: readonly string[] };
  "donor/left-behind": { readonly region: string | undefined; readonly bytes: number; readonly first: number };
  "donor/machine-number-of-another": { readonly found: string; readonly wanted: string };
  "donor/nothing-composed": Record<never, never>;
  "donor/nothing-planned": Record<never, never>;
  "donor/checksum-left": { readonly checksum: string; readonly reason: string };
  "donor/checksum-recomputed": { readonly checksum: string; readonly bytes: readonly ByteChanged[] };
  "donor/composed-region-moved": { readonly region: string };
  "donor/virgin": { readonly regions: readonly string[] };
  "donor/software-overwritten": { readonly donor: string; readonly source: string };
  "donor/already-written": Record<never, never>;
  "donor/twin-differs-by-donor": KeptBoard;
}

const since = "0.1.0";
const sizeText = (size: number | undefined) => (size === undefined ? "a part of unknown size" : bytes(size));
const uses = {
  carried: "to be carried from it",
  kept: "to be kept as it is",
  overwritten: "to be overwritten, and this read is the only way back",
} as const;
const wantedText = ({ oneOf }: Expectation) =>
  `${oneOf.slice(0, 8).join(" or ")}${oneOf.length > 8 ? `, or one of ${oneOf.length - 8} more` : ""}`;
const toldText = ({ told }: Expectation) => told.map(({ by, value }) => `${by}: ${value}`).join(", ");
const usesText = (regions: DonorFacts["donor/regions-incomplete"]["regions"]) =>
  (["carried", "kept", "overwritten"] as const)
    .flatMap((use) => {
      const names = regions.filter((one) => one.use === use).map(({ region }) => region);
      return names.length > 0 ? [`${names.join(", ")} (${uses[use]})`] : [];
    })
    .join("; ");

export const donorEntries: Entries<DonorFacts> = {
  "donor/same-file": {
    severity: "stop",
    title: "One file was given for two units",
    says: ({ first, second, sha256 }) => `${first} and ${second} both have the SHA-256 ${sha256.slice(0, 16)}...`,
    expected: ({ first, second }) => `a read of the ${first} and a read of the ${second}`,
    found: () => "one file twice",
    why: "Nothing can be said of a unit that was not read; a donor that was not read has no way back.",
    next: "Read each unit, keep the files apart, and give each in its place.",
    since,
  },
  "donor/same-unit": {
    severity: "stop",
    title: "The donor carries the serial number of another unit",
    says: ({ with: other, field, value }) => `${field} is ${value} in donor and ${other}`,
    expected: () => "two units with a serial number each",
    found: ({ value }) => `${value} twice`,
    why: "One unit was read twice, or the donor is a clone: then the donor itself has not been read, and the write may go into a good unit.",
    next: "Compare the serial numbers on the two labels with the reads, and read the donor again.",
    since,
  },
  "donor/contents-identical": {
    severity: "review",
    title: "The donor holds the same as another unit",
    says: ({ with: other }) => `donor and ${other} differ in nothing but what a unit writes by itself`,
    expected: () => "two units that differ at least in what belongs to each",
    found: () => "identical content",
    why: "One unit was read twice under two names, or the donor was cloned whole.",
    next: "Make sure that the donor's file was read out of the donor.",
    since,
  },
  "donor/twin-is-source": {
    severity: "review",
    title: "The twin is the source",
    says: ({ by }) =>
      by === "file"
        ? "the same file was given as source and as twin"
        : "source and twin carry the same serial number: they are reads of one unit",
    expected: () => "a twin that is another unit than the source",
    found: () => "the source once more",
    why: "What is written mirrors its own source in any case: that says nothing about the machine's other unit.",
    next: "Give the read of the machine's other unit as the twin; leave it out where the source is that unit.",
    since,
  },
  "donor/regions-incomplete": {
    severity: "stop",
    title: "Part of what matters was not read",
    says: ({ unit, regions, missing, first }) =>
      `${bytes(missing)} are not in the read of the ${unit}, the first at ${formatAddress(first)}: ${usesText(regions)}`,
    expected: ({ of, regions }) =>
      `${bytes(of)} in ${regions.length === 1 ? "one region" : `${regions.length} regions`}`,
    found: ({ of, missing }) => bytes(of - missing),
    why: "A region goes over whole or not at all, and what was not read of the donor is lost with the write.",
    next: "Read the unit again over the whole memory.",
    since,
  },
  "donor/region-blank": {
    severity: "stop",
    title: "A region that the unit needs is blank where it comes from",
    says: ({ unit, region }) =>
      `region ${region} is to come from the ${unit}, where it reads as erased or as one byte value throughout`,
    expected: ({ region }) => `content in region ${region}`,
    found: () => "blank memory",
    why: "The unit would not start, or would start without the data that govern it.",
    next: "Read the unit again; take another source when it stays blank.",
    since,
  },
  "donor/hardware-refused": {
    severity: "stop",
    title: "The donor is hardware that may not take this software",
    says: ({ source, donor, accepted }) =>
      `the source is hardware ${source} and the donor ${donor}; the profile accepts ${accepted.join(", ")}`,
    expected: ({ accepted }) => `hardware ${accepted.join(" or ")}`,
    found: ({ donor }) => `hardware ${donor}`,
    why: "Units that look the same can have another board: the software then drives outputs wrongly, or does not start.",
    next: "Compare the number with the donor's label. When it is right, look for another donor; only the maker's papers can add a number to the profile.",
    since,
  },
  "donor/hardware-untold": {
    severity: "review",
    title: "Whether the hardware goes together could not be told",
    says: ({ unit }) => `the hardware number of the ${unit} cannot be read`,
    expected: () => "a readable hardware number in source and donor",
    found: ({ unit }) => `none in the ${unit}`,
    why: "Software on other hardware can drive outputs wrongly, or not start.",
    next: "Compare the hardware numbers on the two labels, and open the cases when in doubt.",
    since,
  },
  "donor/hardware-listed": {
    severity: "note",
    title: "The donor is other hardware that the profile lists for this software",
    says: ({ source, donor }) => `the source is hardware ${source}; the profile lists ${donor} for its software`,
    why: "The maker put out both for the same purpose.",
    next: "Compare both numbers with the labels.",
    since,
  },
  "donor/hardware-superseding": {
    severity: "note",
    title: "The donor is the later hardware",
    says: ({ source, donor }) => `the source is hardware ${source}, which ${donor} superseded`,
    why: "Later hardware runs the software of what it took the place of; never the other way round.",
    next: "Compare both numbers with the labels.",
    since,
  },
  "donor/expectation-missed": {
    severity: "stop",
    title: "The donor is not what is expected of it",
    says: (facts) => `${facts.name} must be ${wantedText(facts)}; ${toldText(facts)}`,
    expected: wantedText,
    found: ({ told }) => told.map(({ value }) => value).join(", "),
    why: "Whoever put the software out allows it on units that answer like this and on no others.",
    next: "Do not write this donor. Find one that answers as expected, or the software that is meant for this one.",
    since,
  },
  "donor/expectation-open": {
    severity: "review",
    title: "The donor answers otherwise than expected, and perhaps about another thing",
    says: (facts) =>
      `${facts.name} must be ${wantedText(facts)}; ${toldText(facts)}, which need not be the same identification`,
    expected: wantedText,
    found: ({ told }) => told.map(({ value }) => value).join(", "),
    why: "The standards leave open whether this answer is the number that is meant.",
    next: "Ask the donor for this identification itself, and enter the answer under donor.tester.identifications of the job sheet.",
    since,
  },
  "donor/expectation-untold": {
    severity: "review",
    title: "What is expected of the donor is not known of it",
    says: (facts) => `${facts.name} must be ${wantedText(facts)}, and nothing says what it is`,
    expected: wantedText,
    found: () => "no answer",
    why: "Whoever put the software out allows it on units that answer like this and on no others.",
    next: "Ask the donor with a tester before the write, and enter the answer under donor.tester of the job sheet: by data identifier, or by this name under identifications.",
    since,
  },
  "donor/expectation-met": {
    severity: "note",
    title: "The donor is what is expected of it",
    says: (facts) => `${facts.name} must be ${wantedText(facts)}; ${toldText(facts)}`,
    why: "Whoever put the software out allows it on this unit.",
    next: "Nothing needs to be done.",
    since,
  },
  "donor/hardware-overwritten": {
    severity: "stop",
    title: "The composed image does not carry the donor's hardware number",
    says: ({ donor, composed }) =>
      `the donor is hardware ${donor}, and what would be written says ${composed ?? "nothing readable"}`,
    expected: ({ donor }) => `hardware ${donor}`,
    found: ({ composed }) => composed ?? "no readable hardware number",
    why: "Software that asks for the hardware number would drive a board that is not there, and nobody could tell later what the unit is.",
    next: "Keep the region with the hardware number the donor's, in the profile's donor section.",
    since,
  },
  "donor/part-size-differs": {
    severity: "stop",
    title: "The donor has a memory of another size",
    says: ({ source, donor }) => `the source's memory is ${sizeText(source)}, the donor's ${sizeText(donor)}`,
    expected: ({ source }) => sizeText(source),
    found: ({ donor }) => sizeText(donor),
    why: "From the outside the two are the same. What does not fit is lost, or wraps round and overwrites the start.",
    next: "Read the marking on the part itself; look for a donor with the same part.",
    since,
  },
  "donor/part-size-untold": {
    severity: "review",
    title: "Whether the memories are of one size could not be told",
    says: () => "the profile allows several sizes, and a file that leaves erased rows out does not say which it is of",
    expected: () => "two raw reads of the whole part, or a field that tells its size",
    found: () => "a size that could be one of several",
    why: "Units that look the same can have a smaller part inside.",
    next: "Read both units to raw files over the whole part.",
    since,
  },
  "donor/region-moved": {
    severity: "stop",
    title: "A region of the donor lies elsewhere than the source's software expects it",
    says: ({ region }) => `region ${region} is to stay the donor's, and has another place or length in the source`,
    expected: () => "one layout in both units",
    found: () => "two layouts",
    why: "The software would read and write beside its own data.",
    next: "Look for a donor of the same layout, or let the profile carry this region.",
    since,
  },
  "donor/region-unplaced": {
    severity: "review",
    title: "Where a region lies could not be told, so nothing was composed",
    says: ({ region }) => `the place of region ${region} is not known in the unit that it is to come from`,
    expected: ({ region }) => `a place for region ${region}`,
    found: () => "none",
    why: "Nothing is put together that is not known whole.",
    next: "Read the unit again; check that the profile fits.",
    since,
  },
  "donor/regions-overlap": {
    severity: "stop",
    title: "Two regions would lie over one another",
    says: ({ first, second, at }) =>
      `${first || "what lies in no region"} and ${second || "what lies in no region"} would both take ${formatAddress(at.start)} to ${formatAddress(at.end)}`,
    expected: () => "each address from one unit",
    found: () => "an address from two",
    why: "The layouts of source and donor do not fit into one image.",
    next: "Look for a donor of the same layout; check the regions of the profile.",
    since,
  },
  "donor/boot-refuses": {
    severity: "stop",
    title: "The donor's boot software does not start this software",
    says: ({ version, software, starts }) =>
      `the donor's boot software is ${version}, which starts ${starts.join(", ")}; the source's is ${software}`,
    expected: ({ software }) => `a boot version that starts ${software}`,
    found: ({ version }) => version,
    why: "A boot block starts only the generation of software that it was made for; the unit stays dead on the bench.",
    next: "Look for a donor with a boot version that the profile lists for this software.",
    since,
  },
  "donor/boot-changed": {
    severity: "stop",
    title: "The donor's boot software is not that of its version",
    says: ({ version }) => `source and donor both state boot version ${version}, and their boot software differs`,
    expected: () => "the same code under the same version",
    found: () => "two codes",
    why: "One of the two was changed or is damaged, and it decides whether the unit ever starts again.",
    next: "Read both again; when it stays, compare with a third unit.",
    since,
  },
  "donor/boot-unlisted": {
    severity: "review",
    title: "Nobody has said whether the donor's boot software starts this software",
    says: ({ version, software }) =>
      `the donor's boot software is ${version}, of which the profile does not say whether it starts ${software}`,
    expected: ({ software }) => `a boot version that the profile lists with ${software}`,
    found: ({ version }) => version,
    why: "A boot block starts only the generation of software that it was made for.",
    next: "Find a unit that runs this software with this boot version, then add it to the profile.",
    since,
  },
  "donor/boot-untold": {
    severity: "review",
    title: "Whether the donor's boot software starts this software could not be told",
    says: () =>
      "the boot software of source and donor differs, or could not be compared, and its version cannot be read",
    expected: () => "readable boot versions and software numbers",
    found: () => "not all of them",
    why: "A boot block starts only the generation of software that it was made for.",
    next: "Read both units over the whole memory; establish the boot version with the tester.",
    since,
  },
  "donor/boot-kept": {
    severity: "note",
    title: "The donor keeps a boot software of its own",
    says: ({ version, software, source }) =>
      `the donor's boot software ${version} stays${source === undefined ? "" : `, the source has ${source}`}; the profile says that it starts ${software}`,
    why: "The boot software belongs to the board.",
    next: "Nothing; keep this report, because the machine's two units will state different boot versions.",
    since,
  },
  "donor/boot-carried": {
    severity: "note",
    title: "The boot software is carried from the source",
    says: ({ version, donor }) =>
      `the profile has the boot software carried: ${version ?? "a version that cannot be read"} in the place of the donor's ${donor ?? "unreadable one"}`,
    why: "A write that fails in the boot software leaves a unit that cannot be reached any more by its own means.",
    next: "Make sure that the unit can be written on the bench without its own boot software.",
    since,
  },
  "donor/nothing-planned": {
    severity: "review",
    title: "What would be written is not known",
    says: () => "without a profile of the family nobody says what comes from the source and what stays the donor's",
    expected: () => "a profile that says what comes from where",
    found: () => "none",
    why: "Written whole, a donor loses what belongs to its own board, or takes over what belongs to another machine.",
    next: "Find out which parts belong to the board, the software and the machine, and say so in a profile.",
    since,
  },
  "donor/origin-undecided": {
    severity: "review",
    title: "Nobody has said what becomes of a region",
    says: ({ region, role }) =>
      `region ${region} (${role}) may come along or stay the donor's, and the profile does not say; in the plan it stays`,
    expected: () => "a word on it in the profile's donor section",
    found: () => "none",
    why: "What a unit learnt, noted or is bound to belongs to the machine in one family and to the unit in another.",
    next: "Find out the family's practice and add the region to the donor section, with the reason.",
    since,
  },
  "donor/side-unasked": {
    severity: "review",
    title: "Nobody said which side the unit is for",
    says: () => "units of this family are coded for a side, and neither a side nor a twin was given",
    expected: () => "the side that the unit is to work on, or a read of its twin",
    found: () => "neither",
    why: "A unit that is coded for the other side drives its engine with the other one's sensors, direction or cylinder order.",
    next: "Say on which side the unit is to work, or give the read of its twin.",
    since,
  },
  "donor/twin-absent": {
    severity: "review",
    title: "No twin was there to hold the composed image against",
    says: () =>
      "the profile says how the two units of a pair relate, and without the twin none of that was asked of the composed image",
    expected: () => "a read of the unit beside it",
    found: () => "none",
    why: "What is particular to a side, such as a cylinder order, is vouched for by nothing but its own checksum.",
    next: "Read the twin and give that read too; where there is none, a person decides.",
    since,
  },
  "donor/software-unvouched": {
    severity: "review",
    title: "Nothing says that the software is right for this machine",
    says: ({ sheet }) =>
      sheet === "absent"
        ? "no job sheet was given, so the software was held against nothing from outside"
        : "the job sheet names neither a build that the profile's releases could be held against, nor the wanted software",
    expected: () => "a job sheet with the machine's build or the wanted software",
    found: ({ sheet }) => (sheet === "absent" ? "none" : "one without either"),
    why: "Software of a sister model boots and passes its own checksums.",
    next: "Give a job sheet: the build from the machine's papers, the software that it is to run.",
    since,
  },
  "donor/owner-untold": {
    severity: "review",
    title: "Nobody said whose machine the owner's data are for",
    says: ({ regions }) =>
      `${regions.join(", ")} would come along from the source, and no job sheet states the number of the machine`,
    expected: () => "machine.number in the job sheet",
    found: () => "none",
    why: "Immobiliser and machine-number data are copied only for their owner, with proof; a source out of another machine would bring that machine's.",
    next: "Add the number from the machine's papers or plate to the job sheet.",
    since,
  },
  "donor/left-behind": {
    severity: "review",
    title: "The source holds something that would not come along",
    says: ({ region, bytes: size, first }) =>
      `${bytes(size)} of the source ${region === undefined ? "in no region" : `in region ${region}`} are not erased, differ from the donor's and stay behind, the first at ${formatAddress(first)}`,
    expected: () => "nothing of the source's in what is not carried",
    found: ({ bytes: size }) => bytes(size),
    why: "Memory that was thought to be unused is used: the software may need what it keeps there.",
    next: "Find out what is stored there, and let the profile say whether it comes along.",
    since,
  },
  "donor/machine-number-of-another": {
    severity: "review",
    title: "The composed image carries the number of another machine",
    says: ({ found, wanted }) => `what would be written states machine number ${found}; this machine is ${wanted}`,
    expected: ({ wanted }) => wanted,
    found: ({ found }) => found,
    why: "A machine that compares the numbers of its units refuses it, and whoever reads it later is misled.",
    next: "Have the machine number put right by the maker's own procedure, for the owner and with proof.",
    since,
  },
  "donor/nothing-composed": {
    severity: "review",
    title: "Nothing was composed",
    says: () => "the plan does not say of every byte where it comes from, so there is no image to write",
    expected: () => "each region whole and in its place",
    found: () => "a plan with open ends",
    why: "What cannot be put together cannot be examined before the write.",
    next: "Settle what the other findings say of regions, then run the command again.",
    since,
  },
  "donor/checksum-left": {
    severity: "stop",
    title: "A checksum over bytes of both units could not be put right",
    says: ({ checksum, reason }) => `${checksum} covers bytes of both units and was left as it is: ${reason}`,
    expected: ({ checksum }) => `${checksum} to hold in the composed image`,
    found: ({ reason }) => reason,
    why: "The unit refuses an image with a failing checksum, or starts without the data under it.",
    next: "Let the profile take all that the checksum covers from one unit.",
    since,
  },
  "donor/checksum-recomputed": {
    severity: "note",
    title: "A checksum was put right that covers bytes of both units",
    says: ({ checksum, bytes: changed }) =>
      `${checksum}: ${changed.map(({ address, before, after }) => `${formatAddress(address)} ${byteText(before)} becomes ${byteText(after)}`).join(", ")}`,
    why: "It covers more than one unit's bytes, so neither unit's stored value is right for it.",
    next: "Nothing; no other byte was changed.",
    since,
  },
  "donor/composed-region-moved": {
    severity: "stop",
    title: "A region of the composed image does not lie where the plan put it",
    says: ({ region }) => `region ${region} of the composed image has another place than in the plan`,
    expected: () => "the layout of the plan",
    found: () => "another one",
    why: "The image states its own layout, and what it states no longer fits what was put together.",
    next: "Take what states the layout and what it speaks of from the same unit, in the profile's donor section.",
    since,
  },
  "donor/virgin": {
    severity: "note",
    title: "The donor was never written",
    says: ({ regions }) => `${regions.join(", ")} ${regions.length === 1 ? "is" : "are"} erased in the donor`,
    why: "There is nothing to lose there.",
    next: "Nothing; keep the donor's read all the same.",
    since,
  },
  "donor/software-overwritten": {
    severity: "note",
    title: "The donor holds other software, which would be overwritten",
    says: ({ donor, source }) => `the donor holds software ${donor}, and would be written with ${source}`,
    why: "A used unit comes with the software of the machine that it was taken from.",
    next: "Keep the donor's read: it is the only way back.",
    since,
  },
  "donor/already-written": {
    severity: "note",
    title: "The donor already holds what would be written",
    says: () => "but for what a unit writes by itself, the donor holds every byte of the composed image",
    why: "It was written before, or is the twin of what is wanted.",
    next: "Nothing has to be written; compare with readback.",
    since,
  },
  "donor/twin-differs-by-donor": {
    severity: "note",
    title: "The composed image differs from the twin in what stays the donor's",
    says: ({ numbers, regions }) =>
      `${[
        ...numbers.map(({ field, left, right }) => `${field} is ${left} beside ${right}`),
        ...regions.map((region) => `region ${region} holds other code`),
      ].join("; ")}; the rules on donors judge it`,
    why: "Hardware and boot software belong to the board; whether they go with the software is judged by itself.",
    next: "Nothing; keep this report, because a comparison of the two as a pair will name the same differences.",
    since,
  },
};
