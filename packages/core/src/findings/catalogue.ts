import { type ChecksumFindingFacts, checksumEntries } from "./areas/checksum.js";
import { type ContainerFacts, containerEntries } from "./areas/container.js";
import { type DonorFacts, donorEntries } from "./areas/donor.js";
import { type FormatFacts, formatEntries } from "./areas/format.js";
import { type IdentityFindingFacts, identityEntries } from "./areas/identity.js";
import { type NamesFacts, namesEntries } from "./areas/names.js";
import { type PairFacts, pairEntries } from "./areas/pair.js";
import { type ReadbackFacts, readbackEntries } from "./areas/readback.js";
import { type RecordFacts, recordEntries } from "./areas/record.js";
import { type ReleaseFindingFacts, releaseEntries } from "./areas/release.js";
import { type SoundnessFacts, soundnessEntries } from "./areas/soundness.js";
import { type UnitFacts, unitEntries } from "./areas/unit.js";
import type { CatalogueEntry, Entries, Place } from "./finding.js";

/** What each code carries. One file of `areas/` for each kind of question; a code without words does not compile. */
export interface FindingFacts
  extends FormatFacts,
    ContainerFacts,
    SoundnessFacts,
    UnitFacts,
    ChecksumFindingFacts,
    IdentityFindingFacts,
    ReleaseFindingFacts,
    PairFacts,
    DonorFacts,
    ReadbackFacts,
    NamesFacts,
    RecordFacts {}

/** Every code there is: `area/what-is-wrong`. Codes are for ever: retired ones stand in `retired.ts`. */
export type FindingCode = keyof FindingFacts;

/** One thing established: its code, the measured values, and the places it speaks of. */
export type Finding = {
  [Code in FindingCode]: {
    readonly code: Code;
    readonly facts: Readonly<FindingFacts[Code]>;
    readonly where: readonly Place[];
  };
}[FindingCode];

/** The words for every code. */
export const catalogue: Entries<FindingFacts> = {
  ...formatEntries,
  ...containerEntries,
  ...soundnessEntries,
  ...unitEntries,
  ...checksumEntries,
  ...identityEntries,
  ...releaseEntries,
  ...pairEntries,
  ...donorEntries,
  ...readbackEntries,
  ...namesEntries,
  ...recordEntries,
};

/** A finding of `code`. */
export function finding<Code extends FindingCode>(
  code: Code,
  facts: Readonly<FindingFacts[Code]>,
  ...where: readonly Place[]
): Finding {
  return { code, facts, where } as unknown as Finding;
}

/** The catalogue's entry for a finding, with its facts' type forgotten: the two belong together by construction. */
export function entryOf(subject: Finding): CatalogueEntry<unknown> {
  return catalogue[subject.code] as CatalogueEntry<unknown>;
}

/** Whether `text` is a code of the catalogue. */
export function isFindingCode(text: string): text is FindingCode {
  return Object.hasOwn(catalogue, text);
}
