import type { RefusalCode } from "./refusals.js";

/** Where in the caller's input a refusal points. What does not apply is left out. */
export interface RefusalPlace {
  readonly file?: string;
  /** 1-based line of a text file. */
  readonly line?: number;
  /** Bytes from the start of the file, from 0. */
  readonly offset?: number;
  /** Place inside a profile or another document: `checksums[2].over[0]`. */
  readonly path?: string;
}

/**
 * The caller asked for something that cannot be carried out: a profile that does not hold together, an option out of
 * range, a file that is no image at all. Never thrown for what a unit's memory holds: that is a finding.
 */
export class Refusal extends Error {
  override readonly name = "Refusal";

  constructor(
    /** `area/what-is-wrong`, stable, for scripts. */
    readonly code: RefusalCode,
    message: string,
    readonly place: RefusalPlace = {},
  ) {
    super(message);
  }

  /** The same refusal, naming the file that it came from. */
  inFile(file: string): Refusal {
    return new Refusal(this.code, this.message, { ...this.place, file });
  }
}
