import type { Entries } from "../finding.js";

/** Whether a read is whole and plausible. */
export type SoundnessFacts = Record<never, never>;

export const soundnessEntries: Entries<SoundnessFacts> = {};
