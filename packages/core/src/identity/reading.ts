import type { Span } from "../bytes/span.js";
import type { Meaning } from "../profile/schema/field.js";
import type { Certainty } from "./correspondence.js";

/**
 * Who says it: the memory, the profile of a content that the memory was found to hold, the label on the case, the
 * diagnostic tester, or the job sheet of the machine.
 */
export type Source = "image" | "profile" | "label" | "tester" | "job";

/** A value, who says it, and where. */
export interface SourcedValue {
  readonly source: Source;
  /** The field's name, the data identifier, or the place in the job sheet. */
  readonly origin: string;
  /** As it was read or written. */
  readonly shown: string;
  readonly certainty: Certainty;
  /** Where it stands in the memory. */
  readonly span?: Span;
}

/** What the sources say of one thing. Nothing in it is judged. */
export interface IdentityReading {
  /** The meaning, or the name of a field that the profile lets the tester answer. */
  readonly subject: string;
  readonly meaning: Meaning | undefined;
  /** Whether the value concerns an owner. */
  readonly private: boolean;
  /**
   * `disagree`: two sources share no value. `left-open`: the tester's answers equal no other value, and whether they are
   * the same thing is not known. `unreadable`: the memory should say it, and what stands there is no value.
   */
  readonly status: "agree" | "disagree" | "left-open" | "one-source" | "unreadable";
  /** What is surely of this subject, and what is equal to it. */
  readonly values: readonly SourcedValue[];
  /** Answers that may be of another subject and equal none of the values. */
  readonly open: readonly SourcedValue[];
  readonly unreadable: readonly UnreadableField[];
}

/** A field of the subject without a value to compare. */
export interface UnreadableField {
  readonly field: string;
  readonly span?: Span;
}
