import type { Accelerators } from "../algorithms/algorithm.js";
import { MEMORY_END } from "../bytes/span.js";
import { sizesOf } from "../profile/extent.js";
import { outsideMemory } from "../unit/undescribed.js";
import type { Unit } from "../unit/unit.js";
import type { ChecksumFacts } from "./facts.js";
import { provedWay } from "./trial.js";

/** How far the whole content has to be moved, in bytes (down when negative), and how many checksums prove it. */
export interface ProvedPlace {
  readonly by: number;
  readonly checksums: number;
}

/** What describing a unit once more costs, where no hole is filled, in bytes. */
const describing = 4096;

/**
 * Where the checksums and marks of the profile hold that fail in `unit` as it lies: behind a header, without its
 * beginning, or at another base address.
 */
export function provedPlace(
  unit: Unit,
  checksums: readonly ChecksumFacts[],
  accelerators: Accelerators,
): ProvedPlace | undefined {
  const { read, erasedHoles } = unit;
  const trial = {
    ways: distances(unit),
    cost: erasedHoles.length > 0 ? read.length : describing,
    whereAbsent: outsideMemory(unit).first !== undefined,
    image: (by: number) =>
      read.slice({ start: Math.max(0, -by), end: Math.min(MEMORY_END, MEMORY_END - by) }).movedBy(by),
  };
  const proved = provedWay(unit, checksums, trial, accelerators);
  return proved && { by: proved.way, checksums: proved.checksums };
}

/** What is likely first: as much as the read is too long, to the base, then lengths of headers and sizes of blocks. */
function distances({ read, profile }: Unit): ReadonlySet<number> {
  const { bounds } = read;
  if (!bounds) return new Set();
  const { base } = profile.memory;
  const tooLong = sizesOf(profile).map((size) => size - (bounds.end - bounds.start));
  const steps = [
    ...Array.from({ length: 16 }, (_, i) => i + 1),
    ...Array.from({ length: 32 }, (_, i) => 16 * (i + 1)),
    ...Array.from({ length: 18 }, (_, i) => 2 ** (i + 10)),
  ];
  const all = [...tooLong, base - bounds.start, ...steps.flatMap((step) => [-step, step])];
  // Nothing of the content may be all that is left.
  return new Set(all.filter((by) => by !== 0 && bounds.end + by > 0 && bounds.start + by < MEMORY_END));
}
