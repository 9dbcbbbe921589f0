import { common, type Span } from "../bytes/span.js";
import type { Unit } from "./unit.js";

/** Two regions of different roles, and where both lie. */
export interface DescribedTwice {
  readonly first: { readonly region: string; readonly role: string };
  readonly second: { readonly region: string; readonly role: string };
  readonly spans: readonly [Span, ...Span[]];
}

/** Pairs of regions of different roles that hold the same bytes: by a condition, or by a place that a field computes. */
export function describedTwice({ regions }: Pick<Unit, "regions">): DescribedTwice[] {
  return regions.flatMap(({ name, role, spans }, i) =>
    regions.slice(i + 1).flatMap((other) => {
      if (other.role === role) return [];
      const [first, ...rest] = common(spans, other.spans);
      if (!first) return [];
      return [
        {
          first: { region: name, role },
          second: { region: other.name, role: other.role },
          spans: [first, ...rest] as const,
        },
      ];
    }),
  );
}
