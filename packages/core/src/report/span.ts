import { lengthOf, type Span } from "../bytes/span.js";

/** The span as the report writes it. */
export function reportSpan(span: Span): { readonly start: number; readonly length: number } {
  return { start: span.start, length: lengthOf(span) };
}
