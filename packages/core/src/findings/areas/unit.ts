import { formatAddress } from "../../bytes/hex.js";
import type { Span } from "../../bytes/span.js";
import { bytes } from "../amounts.js";
import type { Entries } from "../finding.js";

/** What a profile finds, or does not find, in one unit: size, regions, fields. */
interface DescribedAs {
  readonly region: string;
  readonly role: string;
}

export interface UnitFacts {
  "unit/profile-absent": Record<never, never>;
  "unit/profile-unconfirmed": { readonly profile: string };
  "unit/statements-unconfirmed": { readonly profile: string; readonly statements: readonly string[] };
  "unit/profile-leaves-out": { readonly profile: string; readonly items: readonly string[] };
  "unit/size-unlisted": { readonly bytes: number; readonly allowed: readonly number[] };
  /** How far it would have to be moved, in bytes (down when negative), and how many checksums then hold. */
  "unit/content-moved": { readonly by: number; readonly checksums: number };
  "unit/data-outside-memory": { readonly bytes: number; readonly memory: Span; readonly first: number };
  "unit/bytes-undescribed": { readonly bytes: number; readonly first: number };
  "unit/bytes-described-twice": {
    readonly first: DescribedAs;
    readonly second: DescribedAs;
    readonly bytes: number;
    readonly at: number;
  };
  "unit/region-unread": {
    readonly region: string;
    readonly missing: number;
    readonly of: number;
    readonly first: number;
  };
  "unit/region-unplaced": { readonly region: string; readonly reason: string };
  "unit/holes-read-as-erased": { readonly bytes: number; readonly erased: number };
  "unit/mark-wrong": { readonly field: string; readonly expected: string; readonly found: string };
  "unit/field-implausible": {
    readonly field: string;
    readonly found: string;
    readonly fault: string;
    readonly rule: string;
  };
  "unit/field-erased": { readonly field: string };
  "unit/field-unreadable": { readonly field: string; readonly reason: string };
  "unit/fields-unread": { readonly fields: readonly string[] };
  "unit/side-other": { readonly wanted: string; readonly found: string };
  "unit/side-untold": { readonly wanted: string };
  "unit/side-value-other": {
    readonly rule: string;
    readonly why: string;
    readonly side: string;
    readonly expected: string;
    readonly found: string;
  };
  "unit/holes-unconfirmed": { readonly region: string; readonly bytes: number; readonly first: number };
  "unit/region-blank": {
    readonly region: string;
    readonly role: string;
    readonly value: number;
    readonly bytes: number;
  };
}

/** The first of `items`, and how many there are besides. */
const listed = (items: readonly string[]) =>
  `${items.slice(0, 12).join("; ")}${items.length > 12 ? `; and ${items.length - 12} more` : ""}`;

export const unitEntries: Entries<UnitFacts> = {
  "unit/profile-absent": {
    severity: "review",
    title: "No profile says what this image should hold",
    says: () => "without a profile of the family only the form of the image could be looked at",
    expected: () => "a profile of this family of units",
    found: () => "none",
    why: "Checksums, numbers and regions lie at places that only a profile of the family knows.",
    next: "Give a profile; of several reads of the family a first one can be drafted.",
    since: "0.1.0",
  },
  "unit/profile-leaves-out": {
    severity: "note",
    title: "The profile does not carry all that its source says",
    says: ({ profile, items }) => `${profile} leaves out: ${listed(items)}`,
    why: "Nobody looked at these points here. Some of them may decide whether a unit takes the software.",
    next: "Go through them by hand.",
    since: "0.1.0",
  },
  "unit/profile-unconfirmed": {
    severity: "review",
    title: "The profile has not been confirmed by a person",
    says: ({ profile }) => `the profile ${profile} says of itself that it still has to be confirmed`,
    expected: () => "a profile that a person has confirmed",
    found: () => "one marked as not confirmed",
    why: "A rule that was guessed from a few reads can be wrong in the next one.",
    next: "Go through the profile, confirm or mend its statements, then set confirmed to true.",
    since: "0.1.0",
  },
  "unit/statements-unconfirmed": {
    severity: "review",
    title: "Parts of the profile have not been confirmed by a person",
    says: ({ profile, statements }) => `${profile} marks as unconfirmed: ${listed(statements)}`,
    expected: () => "a profile of which a person has confirmed every part",
    found: ({ statements }) =>
      statements.length === 1 ? "1 unconfirmed part" : `${statements.length} unconfirmed parts`,
    why: "What was concluded from a few reads can be wrong in the next one.",
    next: "Read why each is marked, confirm or mend it, then take its mark out of the profile.",
    since: "0.1.0",
  },
  "unit/size-unlisted": {
    severity: "stop",
    title: "The image does not have the size of this family's memory",
    says: ({ bytes: size, allowed }) => `the image spans ${bytes(size)}, the profile allows ${allowed.join(" or ")}`,
    expected: ({ allowed }) => `${allowed.join(" or ")} bytes`,
    found: ({ bytes: size }) => bytes(size),
    why: "A shorter image was cut, a longer one was padded or repeats itself, or the unit is of another family.",
    next: "Read the unit again with the size of its part, and compare the part number on the case with the profile.",
    since: "0.1.0",
  },
  "unit/content-moved": {
    severity: "stop",
    title: "The content does not lie where the profile has it",
    says: ({ by, checksums }) =>
      `moved ${by < 0 ? "down" : "up"} by ${bytes(Math.abs(by))} (0x${Math.abs(by).toString(16).toUpperCase()}) ${checksums === 1 ? "the one checksum that can tell holds" : `all ${checksums} checksums that can tell hold`}, as ${checksums === 1 ? "it does" : "they do"} not while the content lies as it does`,
    expected: () => "content where the profile has it",
    found: ({ by }) => `content ${bytes(Math.abs(by))} too ${by < 0 ? "high" : "low"}`,
    why: "Something was put before the content, its beginning is missing, or the file is for another base address: nothing in it is where it is looked for.",
    next: "Take off what stands before the content, or read again what is missing, or give the base address of a raw file; then ask again.",
    since: "0.1.0",
  },
  "unit/data-outside-memory": {
    severity: "stop",
    title: "The image holds data outside the memory of this family",
    says: ({ bytes: size, memory, first }) =>
      `${bytes(size)} lie outside ${formatAddress(memory.start)}..${formatAddress(memory.end)}, the first at ${formatAddress(first)}`,
    expected: ({ memory }) => `data from ${formatAddress(memory.start)} to ${formatAddress(memory.end)}`,
    found: ({ bytes: size, first }) => `${bytes(size)} elsewhere, from ${formatAddress(first)} on`,
    why: "The file is for another base address, or for a unit with another memory.",
    next: "Check the base address of a raw file, and that the profile is the one of this unit.",
    since: "0.1.0",
  },
  "unit/bytes-undescribed": {
    severity: "review",
    title: "The profile does not say what part of the image is for",
    says: ({ bytes: size, first }) =>
      `${bytes(size)} with content lie in no region of the profile, the first at ${formatAddress(first)}`,
    expected: () => "every byte with content inside a region",
    found: ({ bytes: size }) => `${bytes(size)} outside all regions`,
    why: "What nobody has described cannot be vouched for: it may be code.",
    next: "Find out what these bytes are and add a region to the profile.",
    since: "0.1.0",
  },
  "unit/bytes-described-twice": {
    severity: "review",
    title: "Two regions of different roles hold the same bytes",
    says: ({ first, second, bytes: size, at }) =>
      `${bytes(size)} from ${formatAddress(at)} on lie in region ${first.region} (${first.role}) and in region ${second.region} (${second.role})`,
    expected: () => "every byte in one region",
    found: ({ bytes: size }) => `${bytes(size)} in two`,
    why: "The role decides what may differ there and where it comes from. With two roles the laxer one would hide what the other forbids.",
    next: "Look at the fields that the places or conditions of these regions depend on: one may be damaged. Otherwise mend the profile.",
    since: "0.1.0",
  },
  "unit/region-unread": {
    severity: "review",
    title: "Part of a region was not read",
    says: ({ region, missing, of, first }) =>
      `${bytes(missing)} of the ${bytes(of)} of region ${region} are not in the image, the first at ${formatAddress(first)}`,
    expected: ({ of }) => bytes(of),
    found: ({ missing, of }) => bytes(of - missing),
    why: "What was not read cannot be compared, summed or written.",
    next: "Read the unit again over the whole memory, or use a file that leaves nothing out.",
    since: "0.1.0",
  },
  "unit/region-unplaced": {
    severity: "review",
    title: "A region's place could not be told",
    says: ({ region, reason }) => `the place of region ${region} could not be told: ${reason}`,
    expected: ({ region }) => `a place for region ${region}`,
    found: ({ reason }) => reason,
    why: "The image states the place itself, and what it states is missing or makes no sense.",
    next: "Check that the profile fits this unit; a damaged header leads here too.",
    since: "0.1.0",
  },
  "unit/holes-read-as-erased": {
    severity: "note",
    title: "Holes were read as erased memory",
    says: ({ bytes: size, erased }) =>
      `${bytes(size)} that the file leaves out were taken as 0x${erased.toString(16).toUpperCase().padStart(2, "0")}, as the profile allows`,
    why: "Hex files often leave erased rows out.",
    next: "Nothing, when a checksum covers these places or the rows are known to be erased.",
    since: "0.1.0",
  },
  "unit/mark-wrong": {
    severity: "stop",
    title: "The image is not of this family",
    says: ({ field, expected, found }) => `${field} must be ${expected} in this family and is ${found}`,
    expected: ({ expected }) => expected,
    found: ({ found }) => found,
    why: "The profile describes another kind of unit: nothing else that it says can be relied on.",
    next: "Take the profile of this unit; look at byte order and base address first when the read is new.",
    since: "0.1.0",
  },
  "unit/field-implausible": {
    severity: "review",
    title: "A field holds a value that does not fit its form",
    says: ({ field, found, fault }) => `${field} reads ${found}: ${fault}`,
    expected: ({ rule }) => rule,
    found: ({ found }) => found,
    why: "Either the read is damaged here, or the unit is a variant that the profile does not know.",
    next: "Compare with the label on the case and with a second read.",
    since: "0.1.0",
  },
  "unit/field-erased": {
    severity: "review",
    title: "A field is erased",
    says: ({ field }) => `every byte of ${field} reads as erased memory`,
    expected: ({ field }) => `a value for ${field}`,
    found: () => "erased memory",
    why: "A unit that was never coded looks so, and a read that missed a block does too.",
    next: "Read again; if it stays, the unit was never given this value.",
    since: "0.1.0",
  },
  "unit/field-unreadable": {
    severity: "review",
    title: "A field could not be read",
    says: ({ field, reason }) => `${field} could not be read: ${reason}`,
    expected: ({ field }) => `a value for ${field}`,
    found: ({ reason }) => reason,
    why: "What the unit says of itself is part of the answer.",
    next: "Read the unit again over the whole memory; check that the profile fits.",
    since: "0.1.0",
  },
  "unit/side-other": {
    severity: "stop",
    title: "The unit is coded for another side",
    says: ({ wanted, found }) => `the unit was said to be on the ${wanted} side and is coded for ${found}`,
    expected: ({ wanted }) => wanted,
    found: ({ found }) => found,
    why: "One engine would be driven with the other one's sensors, direction or cylinder order.",
    next: "Find out where the unit sits; have its coding put right by the maker's own procedure.",
    since: "0.1.0",
  },
  "unit/side-value-other": {
    severity: "stop",
    title: "The unit holds other values than its side demands",
    says: ({ rule, why, side }) => `the unit is coded for ${side}, and ${rule} is not what that side has: ${why}`,
    expected: ({ expected }) => expected,
    found: ({ found }) => found,
    why: "One engine would be driven with what belongs to the other one, though every checksum may hold.",
    next: "Find out where the unit sits and which value is the right one; have its coding put right by the maker's own procedure.",
    since: "0.1.0",
  },
  "unit/holes-unconfirmed": {
    severity: "review",
    title: "A file leaves out bytes that nothing says are erased",
    says: ({ region, bytes: size, first }) =>
      `${bytes(size)} of ${region} are not in the file, the first at ${formatAddress(first)}; they were taken as erased, and no checksum covers them`,
    expected: ({ region }) => `all of ${region} in the file, or a checksum over it that holds`,
    found: ({ bytes: size }) => `${bytes(size)} missing`,
    why: "A lost row looks the same as one that was left out because it is erased.",
    next: "Read the unit to a raw file, which leaves nothing out.",
    since: "0.1.0",
  },
  "unit/region-blank": {
    severity: "review",
    title: "A region that should hold something is blank",
    says: ({ region, role, value, bytes: size }) =>
      `all ${bytes(size)} of ${region} (${role}) are 0x${value.toString(16).toUpperCase().padStart(2, "0")}`,
    expected: ({ role }) => `content, as a unit in use has in a region of role ${role}`,
    found: ({ value }) => `0x${value.toString(16).toUpperCase().padStart(2, "0")} throughout`,
    why: "It was never written, was erased, or was not reached by the read.",
    next: "Read the unit once more; if it stays, find out whether the unit was in use, and whether its kind may have nothing here.",
    since: "0.1.0",
  },
  "unit/side-untold": {
    severity: "review",
    title: "The unit does not tell its side",
    says: ({ wanted }) => `the unit was said to be on the ${wanted} side, and nothing readable in it says so`,
    expected: ({ wanted }) => wanted,
    found: () => "nothing",
    why: "The side decides which sensors and outputs the unit works with.",
    next: "Add pair.sides to the profile, or check the coding with the diagnostic tester.",
    since: "0.1.0",
  },
  "unit/fields-unread": {
    severity: "review",
    title: "Fields lie in what was not read",
    says: ({ fields }) => `${fields.join(", ")} could not be read: their bytes are not in the image`,
    expected: ({ fields }) => `a value for ${fields.length === 1 ? fields[0] : `each of ${fields.length} fields`}`,
    found: () => "no bytes",
    why: "What the unit says of itself is part of the answer.",
    next: "Read the unit again over the whole memory.",
    since: "0.1.0",
  },
};
