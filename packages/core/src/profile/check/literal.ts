import type { Span } from "../../bytes/span.js";
import type { Profile } from "../schema/profile.js";
import type { Position, Quantity, Range } from "../schema/quantity.js";

/** What can be told of places without an image: those that are written down in plain numbers. */

/** The addresses of a place of known length; undefined when either has to be computed from an image. */
export function literalPlace(at: Position, length: Quantity): Span | undefined {
  return typeof at === "number" && typeof length === "number" ? { start: at, end: at + length } : undefined;
}

/** The addresses of a range in plain numbers; undefined for a computed one, and for a reference. */
export function literalSpan(range: Range): Span | undefined {
  if (!("start" in range)) return undefined;
  if ("length" in range) return literalPlace(range.start, range.length);
  return typeof range.start === "number" && typeof range.end === "number"
    ? { start: range.start, end: range.end }
    : undefined;
}

/** The spans of ranges and of what they refer to; undefined when one of them has to be computed. */
export function literalSpans(ranges: readonly Range[], profile: Profile): readonly Span[] | undefined {
  const spans = ranges.flatMap((range): readonly (Span | undefined)[] => {
    if ("region" in range) {
      const region = profile.regions.find(({ name }) => name === range.region);
      return region ? region.over.map(literalSpan) : [undefined];
    }
    if ("field" in range) {
      const field = profile.fields.find(({ name }) => name === range.field);
      return [field && literalPlace(field.at, field.length)];
    }
    return [literalSpan(range)];
  });
  return spans.every((span) => span !== undefined) ? spans : undefined;
}
