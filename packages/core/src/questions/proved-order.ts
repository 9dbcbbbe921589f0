import type { Accelerators } from "../algorithms/algorithm.js";
import { type ChecksumFacts, measureChecksums } from "../checksums/measure.js";
import type { Image } from "../image/image.js";
import { arrangedImage, correctionsOf } from "../soundness/arranged.js";
import type { ProvedOrder } from "../soundness/measure.js";
import { describeUnit, type Unit } from "../unit/unit.js";

/** Checksums of fewer bits hold by chance too often to prove anything. */
const telling = 16;

/** So many more bits must agree than as the read stands: a few hundred orders are tried. */
const enough = 32;

/** So many bytes are gone through in all: the many orders with exchanged lines are tried on small memories only. */
const effort = 2 ** 28;

/**
 * The order of bytes, bits or lines in which the checksums and marks of the profile hold that fail in `unit` as it
 * stands. Undefined when one holds that depends on the order, when nothing fails, and when no order proves itself.
 */
export function provedOrder(
  unit: Unit,
  checksums: readonly ChecksumFacts[],
  accelerators: Accelerators,
): ProvedOrder | undefined {
  const asIs = agreementOf(unit, checksums);
  if (asIs.failing === 0 || asIs.ordered) return undefined;
  const holes = unit.erasedHoles.length > 0 ? "erased" : "unknown";
  const seen = (image: Image) => {
    const arranged = describeUnit(image, unit.profile, holes);
    return agreementOf(arranged, measureChecksums(arranged, accelerators));
  };
  let left = effort;
  for (const correction of correctionsOf(unit.read.length)) {
    left -= unit.read.length;
    if (left < 0) return undefined;
    const image = arrangedImage(unit.read, correction);
    if (!image) continue;
    const { bits, failing, holding } = seen(image);
    if (failing === 0 && holding > 0 && bits >= asIs.bits + enough) return { correction, checksums: holding };
  }
  return undefined;
}

/** How far the marks and checksums agree with what is there. */
function agreementOf({ fields }: Unit, checksums: readonly ChecksumFacts[]) {
  const told = checksums.filter(({ width, status, stated }) => width >= telling && status !== "absent" && !stated);
  const holding = told.filter(({ status }) => status === "holds");
  const marks = fields.flatMap((one) => (one.field.equals !== undefined && one.status === "read" ? [one.bytes] : []));
  return {
    bits: holding.reduce((sum, { width }) => sum + width, 0) + marks.reduce((sum, { length }) => sum + 8 * length, 0),
    holding: holding.length,
    failing: told.length - holding.length,
    /** Whether one holds that depends on the order of the bytes. */
    ordered: holding.some(({ kind }) => kind === "crc" || kind === "hash"),
  };
}
