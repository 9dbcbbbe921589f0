import type { Accelerators } from "../algorithms/algorithm.js";
import { totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import type { Profile } from "../profile/schema/profile.js";
import { arrangedImage, correctionsOf } from "../soundness/arranged.js";
import type { ProvedOrder } from "../soundness/measure.js";
import { describeUnit, type Unit } from "../unit/unit.js";
import { type ChecksumFacts, tellingWidth } from "./facts.js";
import { measureChecksums } from "./measure.js";

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
  const probe = probeOf(unit.profile, checksums);
  const passes = (image: Image) =>
    measureChecksums(describeUnit(image, probe.profile, holes), accelerators).every(({ status }) => status === "holds");
  let left = effort;
  for (const correction of correctionsOf(unit.read.length)) {
    left -= unit.read.length + unit.around.searched() + probe.bytes;
    if (left < 0) return undefined;
    const image = arrangedImage(unit.read, correction);
    if (!image || !passes(image)) continue;
    left -= probe.all;
    const { bits, failing, holding } = seen(image);
    if (failing === 0 && holding > 0 && bits >= asIs.bits + enough) return { correction, checksums: holding };
  }
  return undefined;
}

/** What every checksum costs besides the bytes that it covers, in bytes. */
const effortEach = 4096;

/**
 * The profile with the one failing checksum that is computed soonest, and the repeats of its rule before it: it rules
 * out nearly every order by itself.
 */
function probeOf(profile: Profile, checksums: readonly ChecksumFacts[]) {
  const soFar = new Map<string, { readonly count: number; readonly bytes: number }>();
  let all = 0;
  let soonest: { readonly rule: string; readonly count: number; readonly bytes: number } | undefined;
  for (const { rule, covered, width, status, stated } of checksums) {
    const own = effortEach + totalLength(covered);
    const before = soFar.get(rule) ?? { count: 0, bytes: 0 };
    const one = { rule, count: before.count + 1, bytes: before.bytes + own };
    soFar.set(rule, one);
    all += own;
    if (width < tellingWidth || status !== "fails" || stated) continue;
    if (!soonest || one.bytes < soonest.bytes) soonest = one;
  }
  const rules = profile.checksums
    .filter(({ name }) => name === soonest?.rule)
    .map((rule) => (rule.repeat ? { ...rule, repeat: { ...rule.repeat, count: soonest?.count ?? 0 } } : rule));
  return { profile: { ...profile, checksums: rules, statedChecksums: [] }, bytes: soonest?.bytes ?? 0, all };
}

/** How far the marks and checksums agree with what is there. */
function agreementOf({ fields }: Unit, checksums: readonly ChecksumFacts[]) {
  const told = checksums.filter(({ width, status, stated }) => width >= tellingWidth && status !== "absent" && !stated);
  const holding = told.filter(({ status }) => status === "holds");
  const marks = fields.flatMap((one) => (one.field.equals !== undefined && one.status === "read" ? [one.bytes] : []));
  return {
    bits: holding.reduce((sum, { width }) => sum + width, 0) + marks.reduce((sum, { length }) => sum + 8 * length, 0),
    holding: holding.length,
    failing: told.length - holding.length,
    /** Whether one holds that depends on the order of the bytes. */
    ordered: holding.some(({ ordered }) => ordered),
  };
}
