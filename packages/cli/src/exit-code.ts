import type { Verdict } from "@assay/core";

/** The exit code that says a verdict. Only 0 means "go on" to a script. */
export const exitCodes: Readonly<Record<Verdict, number>> = { clear: 0, stop: 1, review: 3 };

/** The exit code of a command that gives no verdict and was carried out. */
export const DONE = 0;

/** The exit code of a command that could not be carried out. */
export const COULD_NOT = 2;
