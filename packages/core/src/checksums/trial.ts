import type { Accelerators } from "../algorithms/algorithm.js";
import { totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import type { Profile } from "../profile/schema/profile.js";
import { describeUnit, type Unit } from "../unit/unit.js";
import { type ChecksumFacts, tellingWidth } from "./facts.js";
import { measureChecksums } from "./measure.js";

/** So many more bits must agree than as the read stands: a few hundred other ways to take it are tried. */
const enough = 32;

/** So many bytes are gone through in all. */
const effort = 2 ** 28;

/** Ways to take a read other than as it stands, each with what it costs besides its checksums, in bytes. */
export interface Trial<Way> {
  readonly ways: Iterable<Way>;
  readonly cost: number;
  /** Whether it is worth while where no checksum fails and none holds: what they cover may lie elsewhere. */
  readonly whereAbsent: boolean;
  /** The read taken so; undefined where it cannot be. */
  readonly image: (way: Way) => Image | undefined;
}

/**
 * The first way to take the read of `unit` in which the checksums and marks of the profile hold that fail as it stands,
 * and how many checksums then hold. Undefined when one holds that depends on the order of bytes, when nothing fails or is
 * absent, and when no way proves itself.
 */
export function provedWay<Way>(
  unit: Unit,
  checksums: readonly ChecksumFacts[],
  { ways, cost, whereAbsent, image }: Trial<Way>,
  accelerators: Accelerators,
): { readonly way: Way; readonly checksums: number } | undefined {
  const asIs = agreementOf(unit, checksums);
  const absent = whereAbsent && asIs.failing === 0 && asIs.holding === 0;
  if (asIs.ordered || (asIs.failing === 0 && !absent)) return undefined;
  const holes = unit.erasedHoles.length > 0 ? "erased" : "unknown";
  const seen = (taken: Image) => {
    const other = describeUnit(taken, unit.profile, holes);
    return agreementOf(other, measureChecksums(other, accelerators));
  };
  const probe = probeOf(unit.profile, checksums, absent ? "absent" : "fails");
  if (!probe) return undefined;
  const passes = (taken: Image) =>
    measureChecksums(describeUnit(taken, probe.profile, holes), accelerators).every(({ status }) => status !== "fails");
  let left = effort;
  for (const way of ways) {
    left -= cost + unit.around.searched() + probe.bytes;
    if (left < 0) return undefined;
    const taken = image(way);
    if (!taken || !passes(taken)) continue;
    left -= probe.all;
    const { bits, failing, holding } = seen(taken);
    if (failing === 0 && holding > 0 && bits >= asIs.bits + enough) return { way, checksums: holding };
  }
  return undefined;
}

/** What every checksum costs besides the bytes that it covers, in bytes. */
const effortEach = 4096;

/**
 * The profile with the one checksum of that status that is computed soonest, and the repeats of its rule before it: it rules
 * out nearly every other way by itself.
 */
function probeOf(profile: Profile, checksums: readonly ChecksumFacts[], wanted: ChecksumFacts["status"]) {
  const soFar = new Map<string, { readonly count: number; readonly bytes: number }>();
  let all = 0;
  let soonest: { readonly rule: string; readonly count: number; readonly bytes: number } | undefined;
  for (const { rule, covered, width, status, stated } of checksums) {
    const own = effortEach + totalLength(covered);
    const before = soFar.get(rule) ?? { count: 0, bytes: 0 };
    const one = { rule, count: before.count + 1, bytes: before.bytes + own };
    soFar.set(rule, one);
    all += own;
    if (width < tellingWidth || status !== wanted || stated) continue;
    if (!soonest || one.bytes < soonest.bytes) soonest = one;
  }
  if (!soonest) return undefined;
  const { rule: name, count, bytes } = soonest;
  const rules = profile.checksums
    .filter((rule) => rule.name === name)
    .map((rule) => (rule.repeat ? { ...rule, repeat: { ...rule.repeat, count } } : rule));
  return { profile: { ...profile, checksums: rules, statedChecksums: [] }, bytes, all };
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
