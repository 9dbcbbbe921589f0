import type { DonorComparison } from "../compare/donor.js";
import { followingChecksums } from "../compare/following.js";
import { comparePair } from "../compare/pair.js";
import { boardOf, spansOfBoard, withoutTheBoard } from "../compose/board.js";
import type { Plan } from "../compose/plan.js";
import type { Finding } from "../findings/catalogue.js";
import { alike } from "../image/difference.js";
import { donorTwinRules } from "../rules/donor-twin.js";
import { pairRules } from "../rules/pair.js";
import { ask, type Check } from "../rules/rule.js";
import { sideNames, sideSaid } from "../unit/side.js";
import type { Examined } from "./examine.js";

/**
 * Whether the composed image and the machine's other unit mirror each other: the rules on a pair, asked of the two. What
 * the plan keeps of the donor's board has been judged by the rules on donors: it is told, and not judged once more.
 */
export function askTwin(composed: Examined, twin: Examined, plan: Plan, comparison: DonorComparison): readonly Check[] {
  const names = sideNames(composed.unit.profile.pair);
  const told = ({ unit }: Examined) => sideSaid(unit);
  const composedIsLeft = told(composed) === names.left || (told(composed) === undefined && told(twin) === names.right);
  const [left, right] = composedIsLeft ? [composed, twin] : [twin, composed];
  const board = boardOf(plan, comparison);
  const pair = comparePair(left.unit, right.unit, followingChecksums(left.checksums, right.checksums), [
    { rule: "plan/donor", spans: spansOfBoard(board, composed.unit, twin.unit, plan) },
  ]);
  const identical = alike(pair.difference);
  const { rest, kept } = withoutTheBoard(pair, board);
  const roles: Roles = composedIsLeft ? { left: "composed", right: "twin" } : { left: "twin", right: "composed" };
  return [
    ...ask(pairRules, "composed", { comparison: rest, identical, sameFile: undefined }).map((check) =>
      inRoles(check, roles),
    ),
    ...ask(donorTwinRules, "composed", kept),
  ];
}

/** What the two units are called in a sentence, by role. */
const called = { composed: "composed image", twin: "twin" } as const;

/** The two units of the comparison by the roles that they play here. */
interface Roles {
  readonly left: keyof typeof called;
  readonly right: keyof typeof called;
}

/** The same with the places and the words that speak of left and right in the roles that the two units play here. */
function inRoles(check: Check, roles: Roles): Check {
  const { judgement: said } = check;
  if (said.outcome === "not-applicable" || !said.findings) return check;
  const units = { left: called[roles.left], right: called[roles.right] };
  const role = (side: string) => (side === "left" || side === "right" ? roles[side] : side);
  const findings = said.findings.map((one) => ({
    ...one,
    facts: { ...one.facts, units },
    where: one.where.map((place) => (place.role === undefined ? place : { ...place, role: role(place.role) })),
  })) as unknown as readonly [Finding, ...Finding[]];
  return { ...check, judgement: { ...said, findings } };
}
