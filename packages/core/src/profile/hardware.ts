import { comparableNumber, sameNumber } from "./number.js";
import type { DonorRules } from "./schema/donor.js";

/** Why hardware may take the software of other hardware: `undefined` when nothing says that it may. */
export type Acceptance = "same" | "listed" | "superseding" | undefined;

type Hardware = DonorRules["hardware"];

/**
 * Whether hardware `donor` may take the software of hardware `source`: the same number, a number that the profile lists
 * for it, or one that it superseded, directly or by way of others. Never the other way round.
 */
export function acceptanceOf(hardware: Hardware, source: string, donor: string): Acceptance {
  if (sameNumber(source, donor)) return "same";
  const listed = hardware.filter(({ number }) => sameNumber(number, donor)).flatMap(({ takes = [] }) => takes);
  if (listed.some((number) => sameNumber(number, source))) return "listed";
  return supersededFrom(hardware, donor).has(comparableNumber(source)) ? "superseding" : undefined;
}

/** The hardware numbers of the profile that may take the software of `source`, its own first. */
export function hardwareFor(hardware: Hardware, source: string): readonly string[] {
  const others = hardware.map(({ number }) => number).filter((number) => !sameNumber(number, source));
  return [source, ...others.filter((number) => acceptanceOf(hardware, source, number) !== undefined)];
}

/** Everything that `number` superseded, and what that superseded, as comparable numbers; `number` too in a circle. */
export function supersededFrom(hardware: Hardware, number: string): ReadonlySet<string> {
  const below = new Map<string, string[]>();
  for (const one of hardware) {
    const key = comparableNumber(one.number);
    below.set(key, [...(below.get(key) ?? []), ...(one.supersedes ?? []).map(comparableNumber)]);
  }
  const reached = new Set(below.get(comparableNumber(number)) ?? []);
  for (const one of reached) for (const next of below.get(one) ?? []) reached.add(next);
  return reached;
}
