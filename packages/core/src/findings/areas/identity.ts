import type { Entries } from "../finding.js";

/** A value and who says it, as people name the two: `image (softwareNumber)`. */
export interface Told {
  readonly by: string;
  readonly value: string;
}

/** Whether image, label, tester and job sheet speak of the same unit and machine. */
export interface IdentityFindingFacts {
  "identity/sources-disagree": { readonly subject: string; readonly told: readonly Told[] };
  "identity/source-unreadable": {
    readonly subject: string;
    readonly fields: readonly string[];
    readonly told: readonly Told[];
  };
  "identity/source-left-open": {
    readonly subject: string;
    readonly told: readonly Told[];
    readonly open: readonly Told[];
  };
  "identity/sheet-unit-untold": { readonly units: number };
  "identity/sheet-unit-absent": { readonly others: number; readonly side: string };
  "identity/one-source": { readonly subject: string; readonly told: readonly Told[] };
  "identity/machine-number-malformed": { readonly told: readonly Told[]; readonly problem: string };
  "identity/machine-number-check-digit": {
    readonly told: readonly Told[];
    readonly computed: string;
    readonly written: string;
  };
  "identity/machine-number-check-digit-unused": {
    readonly told: readonly Told[];
    readonly computed: string;
    readonly written: string;
  };
  "identity/machine-number-found": { readonly number: string; readonly places: number; readonly standing: string };
  "identity/verification-number-differs": {
    readonly name: string;
    readonly answered: string;
    readonly computed: string;
  };
  "identity/verification-number-untold": { readonly name: string; readonly reason: string };
  "identity/verification-number-undeclared": { readonly numbers: readonly string[] };
}

const list = (told: readonly Told[]) => told.map(({ by, value }) => `${by}: ${value}`).join("; ");
const speakers = (told: readonly Told[]) => told.map(({ by }) => by).join(", ");

export const identityEntries: Entries<IdentityFindingFacts> = {
  "identity/sources-disagree": {
    severity: "stop",
    title: "Image, label, tester or job sheet name different numbers",
    says: ({ subject, told }) => `the ${subject} is not the same everywhere: ${list(told)}`,
    expected: ({ subject, told }) => `one ${subject} from ${speakers(told)}`,
    found: ({ told }) => list(told),
    why: "The case may have been opened and another board or memory put in, the unit may have been written with other software, or a file or sheet belongs to another unit.",
    next: "Read the label again, ask the unit once more with the tester, and make sure that file, sheet and case are of one unit; do not write before the difference is explained.",
    since: "0.1.0",
  },
  "identity/source-unreadable": {
    severity: "review",
    title: "A number that is known from outside cannot be read in the image",
    says: ({ subject, fields, told }) =>
      `the ${subject} is known from outside (${list(told)}), and ${fields.join(", ")} holds nothing to compare it with`,
    expected: ({ told }) => told.map(({ value }) => value).join(" or "),
    found: ({ fields }) => `no usable value in ${fields.join(", ")}`,
    why: "Whether file and unit belong together stays open.",
    next: "Read the unit again over the whole memory; if it stays, the unit was never given this value or the profile does not fit.",
    since: "0.1.0",
  },
  "identity/source-left-open": {
    severity: "review",
    title: "The tester's answer may be another number than the one it was compared with",
    says: ({ subject, told, open }) =>
      `the ${subject} is ${list(told)}; what may be the same reads otherwise: ${list(open)}`,
    expected: ({ told }) => [...new Set(told.map(({ value }) => value))].join(" or "),
    found: ({ open }) => list(open),
    why: "The standards leave open whether these answers are this number; only the profile of the family can say.",
    next: "Find out which answer of the unit is this number and name it in the profile (answeredBy of the field), or give the tester's answer that is.",
    since: "0.1.0",
  },
  "identity/sheet-unit-untold": {
    severity: "review",
    title: "Nothing says which unit of the job sheet this is",
    says: ({ units }) =>
      `the sheet lists ${units} units, and neither the command nor the image says which one was read`,
    expected: () => "the side of the unit",
    found: () => "none",
    why: "No label and no tester's answer was compared.",
    next: "Give the side of the unit.",
    since: "0.1.0",
  },
  "identity/sheet-unit-absent": {
    severity: "review",
    title: "The job sheet says nothing of this unit",
    says: ({ others, side }) =>
      `the sheet describes ${others === 1 ? "one unit" : `${others} units`}, and not ${side === "" ? "this one" : `that of the ${side} side`}`,
    expected: ({ side }) => (side === "" ? "an entry for this unit" : `an entry for the ${side} side`),
    found: () => "entries for other units",
    why: "A label that was not compared proves nothing, and looks as if it had been.",
    next: "Give the sheet of this unit, or its side. What stands under donor is compared by the command donor alone.",
    since: "0.1.0",
  },
  "identity/one-source": {
    severity: "note",
    title: "A number of the job sheet could not be compared with anything",
    says: ({ subject, told }) => `only one source states the ${subject}: ${list(told)}`,
    why: "A number that one source states alone neither agrees nor disagrees.",
    next: "Nothing, unless the number matters here: then ask the tester, read the label, or add the field to the profile.",
    since: "0.1.0",
  },
  "identity/machine-number-malformed": {
    severity: "review",
    title: "A machine number does not have the form of a road vehicle's",
    says: ({ told, problem }) => `${list(told)}: ${problem}`,
    expected: () => "17 characters, digits and capitals without I, O and Q (ISO 3779)",
    found: ({ told }) => list(told),
    why: "A character was misread or mistyped, or the place holds something else.",
    next: "Compare with the papers and the plate of the machine; I and O are often typed for 1 and 0.",
    since: "0.1.0",
  },
  "identity/machine-number-check-digit": {
    severity: "review",
    title: "The check digit of a machine number is wrong",
    says: ({ told, computed, written }) =>
      `${list(told)}: position 9 is ${written} where ${computed} follows from the other characters`,
    expected: ({ computed }) => `${computed} at position 9 (49 CFR 565.15)`,
    found: ({ written }) => `${written} at position 9`,
    why: "Numbers of this region carry a check digit, so at least one character is wrong.",
    next: "Compare with the papers and the plate of the machine, character by character.",
    since: "0.1.0",
  },
  "identity/machine-number-check-digit-unused": {
    severity: "note",
    title: "A machine number carries no check digit that holds",
    says: ({ told, computed, written }) =>
      `${list(told)}: position 9 is ${written}, as a check digit it would be ${computed}; this region does not ask for one`,
    why: "Where the check digit is not in use, position 9 may be any character.",
    next: "Nothing, unless the vehicle was made for North America: then compare the number with its papers.",
    since: "0.1.0",
  },
  "identity/machine-number-found": {
    severity: "note",
    title: "The image holds what looks like the number of a road vehicle",
    says: ({ number, places, standing }) =>
      `${number} stands in the image ${places === 1 ? "once" : `${places} times`}; ${standing}`,
    why: "It tells which vehicle the unit was coded for.",
    next: "Compare it with the vehicle's papers; it is its owner's data.",
    since: "0.1.0",
  },
  "identity/verification-number-differs": {
    severity: "stop",
    title: "A calibration verification number is not that of the image",
    says: ({ name, answered, computed }) => `${name}: the unit answered ${answered}, the image comes to ${computed}`,
    expected: ({ answered }) => `${answered}, as the unit answered`,
    found: ({ computed }) => `${computed}, computed from the image`,
    why: "What the unit computed over its own memory is not what this file holds: another unit, another software, a changed one or a bad read.",
    next: "Read the unit again and ask it again; a unit computes the number anew in each driving cycle, so let it run one.",
    since: "0.1.0",
  },
  "identity/verification-number-untold": {
    severity: "review",
    title: "A calibration verification number could not be compared",
    says: ({ name, reason }) => `${name}: ${reason}`,
    expected: () => "the number that the unit answered, computed from the image",
    found: ({ reason }) => reason,
    why: "The number would tell whether the file is what runs in the unit.",
    next: "Give the tester's answers with their calibration identifications, and read the unit over the whole memory.",
    since: "0.1.0",
  },
  "identity/verification-number-undeclared": {
    severity: "review",
    title: "The profile does not say how a calibration verification number is computed",
    says: ({ numbers }) => `the unit answered ${numbers.join(", ")}, and no rule of the profile computes it`,
    expected: () => "a rule in the profile for each verification number that the unit answers",
    found: ({ numbers }) => `none for ${numbers.join(", ")}`,
    why: "Neither algorithm nor range of these numbers is standardised, so nothing may be assumed of them.",
    next: "Compare the number with that of the twin or of a known-good unit by hand; add verificationNumbers to the profile when its rule is known.",
    since: "0.1.0",
  },
};
