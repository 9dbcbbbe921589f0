import type { Entries } from "../finding.js";

/** Whether a donor may be written, whether the software is right for the machine, and whether the write took. */
export type DonorFacts = Record<never, never>;

export const donorEntries: Entries<DonorFacts> = {};
