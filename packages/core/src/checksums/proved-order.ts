import type { Accelerators } from "../algorithms/algorithm.js";
import { arrangedImage, correctionsOf } from "../soundness/arranged.js";
import type { ProvedOrder } from "../soundness/measure.js";
import type { Unit } from "../unit/unit.js";
import type { ChecksumFacts } from "./facts.js";
import { provedWay } from "./trial.js";

/**
 * The order of bytes, bits or lines in which the checksums and marks of the profile hold that fail in `unit` as it
 * stands. The many orders with exchanged lines are tried on small memories only.
 */
export function provedOrder(
  unit: Unit,
  checksums: readonly ChecksumFacts[],
  accelerators: Accelerators,
): ProvedOrder | undefined {
  const { read } = unit;
  const trial = {
    ways: correctionsOf(read.length),
    cost: read.length,
    whereAbsent: false,
    image: (correction: ProvedOrder["correction"]) => arrangedImage(read, correction),
  };
  const proved = provedWay(unit, checksums, trial, accelerators);
  return proved && { correction: proved.way, checksums: proved.checksums };
}
