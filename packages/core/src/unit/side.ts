import type { Pairing } from "../profile/schema/pair.js";
import { fieldNamed, type Unit } from "./unit.js";

/** The sides that two units are on: the name for `left` and for `right`. */
export interface Sides {
  readonly left: string;
  readonly right: string;
}

/** What a unit says about the side it is coded for. */
export type SideReading =
  | { readonly status: "told"; readonly side: string; readonly shown: string }
  | { readonly status: "unlisted"; readonly shown: string }
  | { readonly status: "unreadable" }
  | { readonly status: "undeclared" };

/** The side that `unit` is coded for, by its own field. */
export function sideOf(unit: Pick<Unit, "profile" | "fields">): SideReading {
  const sides = unit.profile.pair?.sides;
  if (sides?.field === undefined || sides.values === undefined) return { status: "undeclared" };
  const reading = fieldNamed(unit, sides.field);
  if (!reading || !("shown" in reading)) return { status: "unreadable" };
  const side = Object.entries(sides.values).find(([, value]) => String(value) === reading.shown)?.[0];
  return side === undefined
    ? { status: "unlisted", shown: reading.shown }
    : { status: "told", side, shown: reading.shown };
}

/** The side that `unit` says it is coded for; undefined when it does not say, or its family has no sides. */
export function sideSaid(unit: Pick<Unit, "profile" | "fields">): string | undefined {
  return sideTold(sideOf(unit));
}

/** The side that a reading tells; undefined when it tells none. */
export function sideTold(reading: SideReading): string | undefined {
  return reading.status === "told" ? reading.side : undefined;
}

/** The names of the two sides, as the profile calls them. */
export function sideNames(pairing: Pairing | undefined): Sides {
  return { left: pairing?.sides?.left ?? "left", right: pairing?.sides?.right ?? "right" };
}

/**
 * The sides to hold the rules against: those that the units say they are on when they say two different ones (in
 * whatever order they were given), none when they say the same one, else the order in which they were given. So one wrong
 * order, or one wrong side, is one finding, not one for each rule that follows from it.
 */
export function sidesToCompare(left: SideReading, right: SideReading, names: Sides): Sides | undefined {
  if (left.status === "told" && right.status === "told" && left.side === right.side) return undefined;
  return left.status === "told" && right.status === "told" && left.side !== right.side
    ? { left: left.side, right: right.side }
    : names;
}
