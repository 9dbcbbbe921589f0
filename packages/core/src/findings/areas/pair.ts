import type { Entries } from "../finding.js";

/** Where the two units of a mirrored pair agree, and where they do not. */
export type PairFacts = Record<never, never>;

export const pairEntries: Entries<PairFacts> = {};
