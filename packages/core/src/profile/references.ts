import type { Position, Quantity, Range } from "./schema/quantity.js";

/** What a number, place or range of a profile refers to by name. */
export interface References {
  readonly fields: readonly string[];
  readonly regions: readonly string[];
}

const nothing: References = { fields: [], regions: [] };

function joined(...parts: readonly References[]): References {
  return { fields: parts.flatMap((part) => part.fields), regions: parts.flatMap((part) => part.regions) };
}

export function referencesOfQuantity(quantity: Quantity): References {
  if (typeof quantity === "number") return nothing;
  if ("sum" in quantity) return joined(...quantity.sum.map(referencesOfQuantity));
  return { fields: ["twoToThe" in quantity ? quantity.twoToThe : quantity.field], regions: [] };
}

export function referencesOfPosition(position: Position): References {
  if (typeof position === "number") return nothing;
  if ("fromEnd" in position) return referencesOfQuantity(position.fromEnd);
  if ("region" in position)
    return joined({ fields: [], regions: [position.region] }, referencesOfQuantity(position.plus));
  if ("after" in position) return referencesOfQuantity(position.plus);
  return referencesOfQuantity(position);
}

export function referencesOfRange(range: Range): References {
  if ("region" in range) return { fields: [], regions: [range.region] };
  if ("field" in range) return { fields: [range.field], regions: [] };
  return joined(
    referencesOfPosition(range.start),
    "end" in range ? referencesOfPosition(range.end) : referencesOfQuantity(range.length),
  );
}
