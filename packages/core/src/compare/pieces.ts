import { intersection, type Span } from "../bytes/span.js";
import type { PlacedRegion } from "../unit/unit.js";
import type { Explanation } from "./explanation.js";

/** A run of differing bytes that lies in one region and has one explanation, or none. */
export interface DifferingPiece {
  readonly span: Span;
  readonly region: PlacedRegion | undefined;
  readonly rule: string | undefined;
}

interface Labelled<T> {
  readonly span: Span;
  readonly label: T;
}

/** `runs`, cut where a region or an explanation begins or ends. Sorted. */
export function piecesOf(
  runs: readonly Span[],
  regions: readonly PlacedRegion[],
  explanations: readonly Explanation[],
): DifferingPiece[] {
  const byRegion = sorted(regions.flatMap((region) => region.spans.map((span) => ({ span, label: region }))));
  const byRule = sorted(explanations.flatMap(({ rule, spans }) => spans.map((span) => ({ span, label: rule }))));
  const whole = runs.map((span) => ({ span, label: undefined }));
  const inRegions = cut(whole, byRegion).map(({ span, labels: [, region] }) => ({ span, label: region }));
  return cut(inRegions, byRule).map(({ span, labels: [region, rule] }) => ({ span, region, rule }));
}

function sorted<T>(labelled: readonly Labelled<T>[]): readonly Labelled<T>[] {
  return [...labelled].sort((a, b) => a.span.start - b.span.start);
}

/** Each run cut at the borders of the labelled spans, with its own label and that of the span it lies in. */
function cut<R, T>(
  runs: readonly Labelled<R>[],
  labelled: readonly Labelled<T>[],
): { readonly span: Span; readonly labels: readonly [R, T | undefined] }[] {
  const pieces: { span: Span; labels: readonly [R, T | undefined] }[] = [];
  let first = 0; // labelled spans before this one end before every run still to come
  for (const { span, label } of runs) {
    while (first < labelled.length && (labelled[first] as Labelled<T>).span.end <= span.start) first++;
    let start = span.start;
    for (let i = first; i < labelled.length && start < span.end; i++) {
      const other = labelled[i] as Labelled<T>;
      if (other.span.start >= span.end) break;
      const shared = intersection({ start, end: span.end }, other.span);
      if (!shared) continue;
      if (shared.start > start) pieces.push({ span: { start, end: shared.start }, labels: [label, undefined] });
      pieces.push({ span: shared, labels: [label, other.label] });
      start = shared.end;
    }
    if (start < span.end) pieces.push({ span: { start, end: span.end }, labels: [label, undefined] });
  }
  return pieces;
}
