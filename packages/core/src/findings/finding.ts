import type { Span } from "../bytes/span.js";

/** How much a finding weighs: `stop` contradicts, `review` leaves something open, `note` only tells. */
export type Severity = "note" | "review" | "stop";

/** Where in a file or a memory a finding lies. Which unit it is in (`role`) is added when a report is put together. */
export interface Place {
  readonly role?: string;
  readonly span?: Span;
  readonly region?: string;
  /** 1-based line of a text file. */
  readonly line?: number;
  /** Bytes from the start of the file, from 0. */
  readonly offset?: number;
}

/**
 * What the catalogue says of one code. `Facts` are the measured values that a finding of this code carries: numbers
 * and names, never sentences. Text that came out of a file is shown as it is: whoever prints it escapes it.
 */
export interface CatalogueEntry<Facts> {
  readonly severity: Severity;
  /** What is wrong, as a person would name it. */
  readonly title: string;
  /** One sentence with the values in it. */
  readonly says: (facts: Facts) => string;
  readonly expected?: (facts: Facts) => string;
  readonly found?: (facts: Facts) => string;
  /** Why it matters on the bench. */
  readonly why: string;
  /** The next thing to do. */
  readonly next: string;
  /** The release that first said it. */
  readonly since: string;
}

/**
 * One entry for each code of `Facts`. What is stop or review must also say what was expected and what was found: a
 * test of the whole catalogue holds every entry to it.
 */
export type Entries<Facts> = { readonly [Code in keyof Facts]: CatalogueEntry<Facts[Code]> };
