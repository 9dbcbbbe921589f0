import { lengthOf } from "../bytes/span.js";
import type { FoundChecksum } from "../discover/result.js";
import { counted } from "../findings/amounts.js";
import type { DraftedChecksum } from "./checksums.js";
import type { DraftTold, Family } from "./family.js";
import type { RoledPiece } from "./roles.js";
import type { Releases, Way } from "./variation.js";

/** A further read, and what it would tell. */
export interface Advice {
  /** Which read to take. */
  readonly read: string;
  /** What to tell of it when it is given (see `DraftTold`); left out when there is nothing to tell. */
  readonly told?: keyof DraftTold;
  readonly tells: string;
}

interface Standing {
  readonly family: Family;
  readonly releases: Releases;
  readonly regions: readonly RoledPiece[];
  readonly checksums: readonly DraftedChecksum[];
  readonly found: readonly FoundChecksum[];
  readonly variation: Readonly<Record<Way, number>>;
}

/** Which further reads would tell most, the most telling first: those that decide most bytes. */
export function adviceFor({ family, releases, regions, checksums, found, variation }: Standing): Advice[] {
  const advice: (Advice & { readonly bytes: number })[] = [];
  const { units, pairs } = family;
  const repeated = units.filter(({ reads }) => reads.length > 1).length;
  if (repeated < 2) {
    advice.push({
      read: repeated === 0 ? "one unit read again after it has run" : "a second unit read again after it has run",
      told: "same",
      tells: `which of ${counted(variation.unit, "byte")} that differ from unit to unit a unit writes by itself`,
      bytes: variation.unit + (repeated === 0 ? 1 : 0),
    });
  }
  if (pairs.length < 2) {
    const bytes = variation.side + variation.unit;
    advice.push({
      read: pairs.length === 0 ? "both units of one machine" : "both units of a second machine",
      told: "pairs",
      tells:
        pairs.length === 0
          ? "what goes with the side: without a pair no such rule is drafted"
          : `which of ${counted(bytes, "byte")} that differ in the pair go with the side and which with the unit`,
      bytes: bytes + 1,
    });
  }
  const open = [
    ...checksums.filter(({ certainty }) => certainty !== "certain").map((one) => one.found),
    ...found.filter(({ certainty }) => certainty === "chance"),
  ];
  if (open.length > 0) {
    const reads = Math.max(...open.map(({ readsToSettle }) => readsToSettle));
    const covered = open[0]?.ranges.reduce((sum, { length }) => sum + length, 0) ?? 0;
    advice.push({
      read: `${reads === 1 ? "a unit" : counted(reads, "unit")} with other content under the checksums that are not certain`,
      tells: `whether ${open.length === 1 ? "1 range checks itself or comes" : `${open.length} ranges check themselves or come`} out right by chance`,
      bytes: covered,
    });
  }
  if (new Set(releases).size < 2) {
    const bytes = regions
      .filter(({ role }) => role === "program" || role === "calibration" || role === "boot")
      .reduce((sum, { span }) => sum + lengthOf(span), 0);
    advice.push({
      read: "a unit with other software",
      tells: `where boot, program and calibration end in ${counted(bytes, "byte")} that are the same in all reads`,
      bytes,
    });
  }
  return advice
    .filter(({ bytes }) => bytes > 0)
    .sort((a, b) => b.bytes - a.bytes)
    .map(({ bytes: _, ...one }) => one);
}
