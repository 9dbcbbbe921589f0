import { common, type Span } from "../bytes/span.js";
import type { DonorComparison } from "../compare/donor.js";
import type { PairComparison } from "../compare/pair.js";
import type { Meaning } from "../profile/schema/field.js";
import { fieldNamed, type Unit } from "../unit/unit.js";
import { type Plan, spansFrom } from "./plan.js";

/** What of the donor's board is another than the source's: boot regions by name, and the meanings of its numbers. */
export interface Board {
  readonly boots: readonly string[];
  readonly meanings: readonly Meaning[];
}

/** What `plan` keeps of the board of the donor although it is another than that of the source. */
export function boardOf({ parts }: Plan, { hardware, boot }: DonorComparison): Board {
  const kept = parts.flatMap(({ region, role, origin }) =>
    role === "boot" && origin === "donor" && region !== undefined ? [region] : [],
  );
  const boots = boot.standing === "same" ? [] : kept;
  return {
    boots,
    meanings: [
      ...(boots.length > 0 ? (["boot-version"] as const) : []),
      ...(hardware.standing === "same" ? [] : (["hardware-number", "part-number"] as const)),
    ],
  };
}

/** Where it stands in both the composed unit and its twin. */
export function spansOfBoard({ boots, meanings }: Board, composed: Unit, twin: Unit, plan: Plan): readonly Span[] {
  const regions = composed.regions.filter(({ name }) => boots.includes(name)).flatMap(({ spans }) => spans);
  const numbers = composed.fields.flatMap((reading) => {
    const other = fieldNamed(twin, reading.field.name);
    const { means } = reading.field;
    if (!means || !meanings.includes(means) || !("span" in reading) || !other || !("span" in other)) return [];
    return common([reading.span], [other.span]);
  });
  return common([...regions, ...numbers], spansFrom(plan, "donor"));
}

/** The comparison without the numbers of a board that was judged already; and what differs there. */
export function withoutTheBoard(pair: PairComparison, { boots, meanings }: Board) {
  const isBoard = ({ means, status }: PairComparison["fields"][number]) =>
    status === "different" && means !== undefined && meanings.includes(means);
  const regions = boots.filter((boot) =>
    pair.pieces.some(({ region, rule }) => region?.name === boot && rule === "plan/donor"),
  );
  const numbers = pair.fields
    .filter(isBoard)
    .map(({ name, left, right }) => ({ field: name, left: left ?? "none", right: right ?? "none" }));
  return {
    rest: { ...pair, fields: pair.fields.filter((field) => !isBoard(field)) },
    kept: { numbers, regions },
  };
}
