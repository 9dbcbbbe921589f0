import type { Entries } from "../finding.js";

/** What a profile finds, or does not find, in one unit: size, regions, fields, checksums. */
export type UnitFacts = Record<never, never>;

export const unitEntries: Entries<UnitFacts> = {};
