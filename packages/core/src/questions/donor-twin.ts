import { common, type Span } from "../bytes/span.js";
import type { DonorComparison } from "../compare/donor.js";
import { followingChecksums } from "../compare/following.js";
import { comparePair, type PairComparison } from "../compare/pair.js";
import { type Plan, spansFrom } from "../compose/plan.js";
import type { Finding } from "../findings/catalogue.js";
import { alike } from "../image/difference.js";
import type { Meaning } from "../profile/schema/field.js";
import { donorTwinRules } from "../rules/donor-twin.js";
import { pairRules } from "../rules/pair.js";
import { ask, type Check } from "../rules/rule.js";
import { sideNames, sideOf, sideTold } from "../unit/side.js";
import { fieldNamed, type Unit } from "../unit/unit.js";
import type { Examined } from "./examine.js";

/**
 * Whether the composed image and the machine's other unit mirror each other: the rules on a pair, asked of the two. What
 * the plan keeps of the donor's board has been judged by the rules on donors: it is told, and not judged once more.
 */
export function askTwin(composed: Examined, twin: Examined, plan: Plan, comparison: DonorComparison): readonly Check[] {
  const names = sideNames(composed.unit.profile.pair);
  const told = ({ unit }: Examined) => sideTold(sideOf(unit));
  const composedIsLeft = told(composed) === names.left || (told(composed) === undefined && told(twin) === names.right);
  const [left, right] = composedIsLeft ? [composed, twin] : [twin, composed];
  const board = boardOf(plan, comparison);
  const pair = comparePair(left.unit, right.unit, followingChecksums(left.checksums, right.checksums), [
    { rule: "plan/donor", spans: spansOfBoard(board, composed.unit, twin.unit, plan) },
  ]);
  const identical = alike(pair.difference);
  const { rest, kept } = withoutTheBoard(pair, board);
  const roles: Readonly<Record<string, string>> = {
    left: composedIsLeft ? "composed" : "twin",
    right: composedIsLeft ? "twin" : "composed",
  };
  return [
    ...ask(pairRules, "composed", { comparison: rest, identical, sameFile: undefined }).map((check) =>
      inRoles(check, roles),
    ),
    ...ask(donorTwinRules, "composed", kept),
  ];
}

/** What of the donor's board is another than the source's: boot regions by name, and the meanings of its numbers. */
interface Board {
  readonly boots: readonly string[];
  readonly meanings: readonly Meaning[];
}

function boardOf({ parts }: Plan, { hardware, boot }: DonorComparison): Board {
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

function spansOfBoard({ boots, meanings }: Board, composed: Unit, twin: Unit, plan: Plan): readonly Span[] {
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
function withoutTheBoard(pair: PairComparison, { boots, meanings }: Board) {
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

/** The same with the places that speak of left and right in the roles that the two units play here. */
function inRoles(check: Check, roles: Readonly<Record<string, string>>): Check {
  const { judgement: said } = check;
  if (said.outcome === "not-applicable" || !said.findings) return check;
  const findings = said.findings.map((one) => ({
    ...one,
    where: one.where.map((place) =>
      place.role === undefined ? place : { ...place, role: roles[place.role] ?? place.role },
    ),
  })) as unknown as readonly [Finding, ...Finding[]];
  return { ...check, judgement: { ...said, findings } };
}
