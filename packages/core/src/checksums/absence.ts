import type { Span } from "../bytes/span.js";
import type { Obstacle } from "../unit/place.js";

/** Why a checksum neither holds nor fails. */
export type Absence =
  /** A place that it needs cannot be told. */
  | { readonly kind: "place"; readonly obstacle: Obstacle }
  /** How often it is repeated is no usable number. */
  | { readonly kind: "count"; readonly count: number; readonly most: number }
  /** The stored value lies in what is covered, and the profile does not say how it counts there. */
  | { readonly kind: "stored-inside"; readonly span: Span }
  /** The whole is to come to a constant, and the stored value is no part of it. */
  | { readonly kind: "stored-outside"; readonly span: Span }
  /** Bytes go into it twice, so that a change of them may cancel out: agreement would say nothing of them. */
  | { readonly kind: "covered-twice"; readonly span: Span }
  /** Bytes that it covers are not known. */
  | { readonly kind: "gaps"; readonly spans: readonly Span[] }
  | { readonly kind: "stored-unknown"; readonly span: Span }
  | { readonly kind: "nothing-covered" }
  | { readonly kind: "length"; readonly length: number; readonly multipleOf: number }
  /** All that it covers and the stored value are one repeated byte: erased or never written, whatever the sum says. */
  | { readonly kind: "blank"; readonly byte: number }
  /** So many bytes cannot be gone through for an image of this size. */
  | { readonly kind: "effort"; readonly length: number };
