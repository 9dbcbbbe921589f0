import { contains, lengthOf, overlap, type Span } from "../bytes/span.js";
import { measureChecksums } from "../checksums/measure.js";
import type { Certainty } from "../discover/chance.js";
import type { FoundChecksum } from "../discover/result.js";
import { profileOf } from "../profile/load.js";
import type { ProfileDocument } from "../profile/schema/profile.js";
import { describeUnit } from "../unit/unit.js";
import type { Family } from "./family.js";
import { lonelyValues } from "./lonely-values.js";
import type { Variation } from "./variation.js";
import { lonelyPlaces, partsOf, roundest } from "./whole-sums.js";
import { hexAddress } from "./written.js";

type ChecksumDocument = NonNullable<ProfileDocument["checksums"]>[number];

/** A checksum that a search found and that holds in every read, as a profile says it. */
export interface DraftedChecksum {
  readonly found: FoundChecksum;
  readonly certainty: Exclude<Certainty, "chance">;
  /** Without its name. */
  readonly rule: Omit<ChecksumDocument, "name">;
  readonly covered: readonly Span[];
  readonly storedAt: Span;
  /** Where no data tell which word of the range is the value: what has to be confirmed. */
  readonly untold?: string;
  /** From the first byte that it covers, or that stores it, to the last. */
  readonly hull: Span;
}

/** Stored values further from what they cover than this do not make one block with it. */
const reach = 16;

/**
 * What was found and holds in every read, as a profile can say it: what chance is least likely to bring first. Of two
 * that cross, or that say the same of one range, the later is left out. Values that stand alone are looked for besides.
 */
export function checksumsIn(
  family: Family,
  variations: readonly Variation[],
  found: readonly FoundChecksum[],
): readonly DraftedChecksum[] {
  const drafted: DraftedChecksum[] = [];
  const take = (all: readonly FoundChecksum[]) => {
    for (const one of [...all].sort((a, b) => a.expectedByChance - b.expectedByChance)) {
      const made = asDrafted(family, variations, one);
      if (made && !drafted.some((other) => clash(made, other))) drafted.push(made);
    }
  };
  const rounded = found.flatMap((one) => inRoundRange(family, variations, one));
  take(rounded.filter(({ certainty }) => certainty === "certain"));
  take([...rounded, ...lonelyValues(family, variations, drafted)]);
  return drafted.sort((a, b) => a.hull.start - b.hull.start || b.hull.end - a.hull.end);
}

function inRoundRange(
  { stretches }: Family,
  variations: readonly Variation[],
  found: FoundChecksum,
): readonly FoundChecksum[] {
  const start = found.ranges[0]?.start ?? 0;
  const i = variations.findIndex((variation) => start >= variation.start && start < variation.end);
  const stretch = stretches[i];
  if (!stretch) return [found];
  const one = roundest(found, variations[i] as Variation, stretch.contents);
  return partsOf(one, stretch) ?? [one];
}

function asDrafted(
  family: Family,
  variations: readonly Variation[],
  found: FoundChecksum,
): DraftedChecksum | undefined {
  const { certainty } = found;
  if (certainty === "chance") return undefined;
  const rule = rulesFor(found, variations).find((candidate) => holdsEverywhere(family, candidate));
  if (!rule) return undefined;
  const covered = found.ranges.map(({ start, length }) => ({ start, end: start + length }));
  const storedAt = storedSpan(rule, found);
  const untold = untoldIn(found);
  return {
    found,
    certainty,
    rule,
    covered,
    storedAt,
    ...(untold !== undefined && { untold }),
    hull: hullOf(covered, storedAt),
  };
}

function untoldIn({ stored: { place, possible } }: FoundChecksum): string | undefined {
  if (place === "told") return undefined;
  const words = possible ? ` of ${possible.count} words` : "";
  return `the range is told, not which${words} of it is the value: confirm its place before one is written there`;
}

/** Whether two cross without one lying in the other, or both are said of one range. */
function clash(a: DraftedChecksum, b: DraftedChecksum): boolean {
  if (overlap(a.storedAt, b.storedAt)) return true;
  if (!overlap(a.hull, b.hull)) return false;
  if (a.hull.start === b.hull.start && a.hull.end === b.hull.end) return true;
  return !contains(a.hull, b.hull) && !contains(b.hull, a.hull);
}

/** How a profile may say what was found, the most telling first. */
function rulesFor(
  { algorithm: name, parameters, ranges, stored }: FoundChecksum,
  variations: readonly Variation[],
): Omit<ChecksumDocument, "name">[] {
  const algorithm = parameters ?? name;
  const bytes = stored.width / 8;
  const over = ranges.map(({ start, length }) => ({ start: hexAddress(start), end: hexAddress(start + length) }));
  const at = (start: number) => ({ at: hexAddress(start), bytes, order: stored.order });
  const inside = stored.inside === "zeros" ? { inside: { fill: 0 } } : {};
  const base = { algorithm, over, ...inside };
  const { form, start } = stored;
  if (form === "whole-comes-to-constant") {
    const last = ranges.at(-1) as (typeof ranges)[number];
    const constant = stored.constant === undefined ? {} : { constant: `0x${stored.constant}` };
    const end = last.start + last.length;
    const whole = { algorithm, over, stored: { ...at(start), form, ...constant } };
    const variation = variations.find((each) => last.start >= each.start && end <= each.end);
    const [place, ...more] = variation ? lonelyPlaces(variation, { start: last.start, end }, bytes) : [];
    if (place === undefined || more.length > 0) return [whole];
    // Where one value stands alone in the range, that is what makes the whole come out.
    const apart = (as: "complement" | "negated") => ({
      algorithm,
      over,
      inside: "leave-out" as const,
      stored: { ...at(place), form: as },
    });
    return [
      apart("complement"),
      apart("negated"),
      { ...whole, stored: { ...whole.stored, at: hexAddress(place) } },
      whole,
    ];
  }
  if (form === "value-and-complement") {
    // The complement stands behind the value or before it: the pair begins at whichever comes first.
    return [
      { ...base, stored: { ...at(start), form } },
      { ...base, stored: { ...at(start), form: "value" } },
    ];
  }
  return [{ ...base, stored: { ...at(start), form } }];
}

function storedSpan({ stored }: Omit<ChecksumDocument, "name">, { stored: { width } }: FoundChecksum): Span {
  const start = Number(stored.at);
  return { start, end: start + (width / 8) * (stored.form === "value-and-complement" ? 2 : 1) };
}

function holdsEverywhere(family: Family, rule: Omit<ChecksumDocument, "name">): boolean {
  const [first] = family.stretches;
  const last = family.stretches.at(-1);
  if (!first || !last) return false;
  const profile = profileOf({
    profile: "assay.profile/1",
    id: "draft",
    title: "draft",
    source: "draft",
    memory: {},
    regions: [{ name: "all", role: "program", over: [{ start: first.start, end: last.start + last.length }] }],
    checksums: [{ name: "draft", ...rule }],
  });
  return (
    profile !== undefined &&
    family.reads.every(({ image }) => measureChecksums(describeUnit(image, profile))[0]?.status === "holds")
  );
}

function hullOf(covered: readonly Span[], storedAt: Span): Span {
  const start = Math.min(...covered.map((span) => span.start));
  const end = Math.max(...covered.map((span) => span.end));
  const near = storedAt.start <= end + reach && storedAt.end >= start - reach;
  return near ? { start: Math.min(start, storedAt.start), end: Math.max(end, storedAt.end) } : { start, end };
}

/** The smallest block of a checksum that holds all of `span`. */
export function blockAround(checksums: readonly DraftedChecksum[], span: Span): DraftedChecksum | undefined {
  return checksums.filter(({ hull }) => contains(hull, span)).sort((a, b) => lengthOf(a.hull) - lengthOf(b.hull))[0];
}
