import { formatAddress } from "../bytes/hex.js";
import { lengthOf, overlap, type Span, subtract, totalLength } from "../bytes/span.js";
import type { FoundChecksum } from "../discover/result.js";
import { counted } from "../findings/amounts.js";
import { type Processor, recogniseProcessor } from "../processor/recognise.js";
import { profileOf } from "../profile/load.js";
import type { Profile, ProfileDocument } from "../profile/schema/profile.js";
import { type Unconfirmed, unconfirmedIn } from "../profile/unconfirmed.js";
import { checksumsIn, type DraftedChecksum } from "./checksums.js";
import { type DraftRead, type DraftTold, type Family, familyOf, imageOf } from "./family.js";
import { machineNumbersIn, writtenField } from "./fields.js";
import type { HeldStatement } from "./held.js";
import { type Advice, adviceFor } from "./next.js";
import { pairingOf } from "./pairing.js";
import { type OldProfile, refined } from "./refine.js";
import { namesByStem, regionsIn, writtenRegions } from "./regions.js";
import type { RoledPiece } from "./roles.js";
import { numbersThatChange } from "./told-same.js";
import { variationOf, type Way, ways } from "./variation.js";
import { reason, writtenSpan } from "./written.js";

/** What a profile is to be called. */
export interface DraftNames {
  readonly id: string;
  readonly title: string;
}

/** A profile drafted from reads, and how sure it is. */
export interface Draft {
  /** As it is written. */
  readonly document: ProfileDocument;
  /** The same, understood. */
  readonly profile: Profile;
  /** Units, releases and pairs that the reads were taken for. */
  readonly family: {
    readonly units: readonly {
      readonly reads: readonly string[];
      readonly side: "left" | "right" | null;
      readonly release: number;
    }[];
    readonly pairs: number;
  };
  /** The family of processors that all units are for, as far as it shows. */
  readonly processor: Pick<Processor, "name" | "order" | "certainty">;
  /** Bytes by how they vary. */
  readonly variation: Readonly<Record<Way, number>>;
  /** What a person has to confirm. */
  readonly unconfirmed: readonly Unconfirmed[];
  /** With an old profile: what the reads say of each of its statements, and what was added to it. */
  readonly held?: readonly HeldStatement[];
  readonly added?: readonly string[];
  /** What the reads say that does not go together. */
  readonly doubts: readonly Doubt[];
  /** Ranges that may check themselves by chance only: not in the profile. */
  readonly undecided: readonly FoundChecksum[];
  /** Which further read would tell most, the most telling first. */
  readonly next: readonly Advice[];
}

/** Something in the reads that does not go with what was told of them. */
export interface Doubt {
  readonly what: string;
  readonly where: readonly { readonly start: number; readonly length: number }[];
}

/**
 * Drafts a profile of the family that `reads` are of. `found` is what a search for checksums found in the same reads.
 * The same reads give the same profile.
 * `old` is a profile to hold against them and to add to.
 * @throws Refusal when the reads do not cover the same addresses, or what is told of them contradicts itself
 */
export function draftProfile(
  reads: readonly DraftRead[],
  told: DraftTold,
  found: readonly FoundChecksum[],
  names: DraftNames,
  old?: OldProfile,
): Draft {
  const family = familyOf(reads, told);
  const { variations, releases } = variationOf(family);
  const checksums = checksumsIn(family, variations, found);
  const { regions, fields: inRegions, volatile: moves, unsound } = regionsIn(family, variations, checksums);
  // What tells two units apart is never left out of a comparison.
  const twoUnits = numbersThatChange(family);
  const volatile = subtract(moves, twoUnits);
  const spans = regions.map(({ span }) => span);
  const machines = machineNumbersIn(family, spans);
  const fields = [...machines, ...inRegions.filter(({ span }) => !machines.some((one) => overlap(one.span, span)))]
    .filter(({ span }) => !checksums.some(({ storedAt }) => overlap(storedAt, span)))
    .filter(({ stem }, i, all) => stem !== "side" || all.findIndex((one) => one.stem === "side") === i)
    .sort((a, b) => a.span.start - b.span.start)
    .slice(0, 256);
  const regionNames = namesByStem(regions.map(({ role }) => role));
  const fieldNames = namesByStem(fields.map(({ stem }) => stem));
  const checksumNames = namesByStem(checksums.map((one) => `${nameOver(regions, regionNames, one)}-check`));
  const pairing = pairingOf(
    family,
    variations,
    regions.map((of, i) => ({ name: regionNames[i] as string, of })),
    fields.map((of, i) => ({ name: fieldNames[i] as string, of })),
    checksums,
  );
  const moving = family.units.filter(({ reads: own }) => own.length > 1).length;
  const drafted: ProfileDocument = {
    profile: "assay.profile/1",
    ...names,
    source: sourceOf(family),
    memory: memoryOf(family),
    regions: writtenRegions(regions, regionNames),
    fields: fields.map((field, i) => writtenField(field, fieldNames[i] as string)),
    checksums: checksums.map((one, i) => writtenChecksum(family, one, checksumNames[i] as string)),
    ...(volatile.length > 0 && {
      volatile: chunks(volatile, 64)
        .slice(0, 64)
        .map((over) => ({
          over: over.map(writtenSpan),
          why: "differs between reads of one unit",
          $comment: `seen in ${counted(moving, "unit")}`,
          ...(moving < 2 && { unconfirmed: "seen in one unit only: read another one twice" }),
        })),
    }),
    ...(pairing && { pair: pairing.pair }),
  };
  const understood = profileOf(drafted);
  if (!understood) throw new RangeError("draft: expected a profile that holds together, got another");
  const { document, profile, held, added } = old
    ? refined(old, understood, drafted, family)
    : { document: drafted, profile: understood, held: undefined, added: [] };
  const variation = Object.fromEntries(Object.keys(ways).map((way) => [way, 0])) as Record<Way, number>;
  for (const each of variations) for (let at = each.start; at < each.end; at++) variation[each.at(at)]++;
  const doubt = (what: string, where: readonly Span[]): Doubt[] =>
    where.length === 0
      ? []
      : [
          {
            what: `${what}: ${counted(totalLength(where), "byte")}, the first at ${formatAddress(where[0]?.start ?? 0)}`,
            where: where.slice(0, 32).map((span) => ({ start: span.start, length: lengthOf(span) })),
          },
        ];
  return {
    document,
    profile,
    family: {
      units: family.units.map(({ reads: own, side }, i) => ({
        reads: own.map((read) => family.reads[read]?.name ?? ""),
        side: side ?? null,
        release: (releases[i] as number) + 1,
      })),
      pairs: family.pairs.length,
    },
    processor: processorOf(family),
    variation,
    unconfirmed: unconfirmedIn(profile),
    ...(held && { held, added }),
    doubts: [
      ...doubt("reads that are told to be of one unit hold different numbers, as those of two units do", twoUnits),
      ...doubt(
        "reads of one unit differ in code or tables, which no unit changes by itself: one of them is not sound",
        unsound,
      ),
      ...doubt(
        "the units of a pair differ in code or tables, and nothing ties it to the side",
        pairing?.unexcused ?? [],
      ),
    ],
    undecided: found.filter(({ certainty }) => certainty === "chance"),
    next: adviceFor({ family, releases, regions, checksums, found, variation }),
  };
}

/** What the units agree on; unknown when they do not. */
function processorOf(family: Family): Draft["processor"] {
  const all = family.units.map((_, unit) => recogniseProcessor(imageOf(family, unit)));
  const [first] = all;
  const agreed = first && all.every(({ name, order }) => name === first.name && order === first.order);
  if (!first || !agreed) return { name: undefined, order: undefined, certainty: "unknown" };
  const certainty = all.every((one) => one.certainty === "certain")
    ? "certain"
    : first.certainty === "unknown"
      ? "unknown"
      : "likely";
  return { name: first.name, order: first.order, certainty };
}

function memoryOf({ stretches, erased, reads }: Family): ProfileDocument["memory"] {
  const first = stretches[0] as Family["stretches"][number];
  const last = stretches.at(-1) as Family["stretches"][number];
  const size = last.start + last.length - first.start;
  return {
    base: first.start,
    size,
    ...(erased !== undefined && { erased: `0x${erased.toString(16).toUpperCase().padStart(2, "0")}`, holes: "erased" }),
    ...(!Number.isInteger(Math.log2(size)) && {
      unconfirmed: "the size of these reads, which is no power of two: is it the whole memory?",
    }),
    $comment: `the same in all ${counted(reads.length, "read")}`,
  };
}

function sourceOf({ reads, units, pairs }: Family): string {
  const list = reads.map(({ name }) => name).join(", ");
  return reason(
    `drafted from ${counted(reads.length, "read")} of ${counted(units.length, "unit")}${pairs.length > 0 ? ` in ${counted(pairs.length, "pair")}` : ""}: ${list}`,
  );
}

/** The region that holds most of what a checksum covers. */
function nameOver(regions: readonly RoledPiece[], names: readonly string[], { covered }: DraftedChecksum): string {
  const shared = regions.map(({ span }) =>
    covered.reduce(
      (sum, part) => sum + Math.max(0, Math.min(part.end, span.end) - Math.max(part.start, span.start)),
      0,
    ),
  );
  const most = shared.indexOf(Math.max(...shared));
  return names[most] ?? "range";
}

function writtenChecksum({ reads }: Family, { rule, found, certainty, untold }: DraftedChecksum, name: string) {
  const odds = found.expectedByChance.toExponential(0);
  const likely =
    certainty === "certain"
      ? undefined
      : `likely, not certain: chance alone would bring ${odds} as simple as this; ${counted(found.readsToSettle, "more read")} with other content would settle it`;
  const open = likely !== undefined && untold !== undefined ? `${likely}; ${untold}` : (likely ?? untold);
  return {
    name,
    ...rule,
    ...(open !== undefined && { unconfirmed: open }),
    $comment: `holds in all ${counted(reads.length, "read")}; ${odds} as simple would be expected by chance`,
  };
}

function chunks<Value>(all: readonly Value[], size: number): Value[][] {
  return Array.from({ length: Math.ceil(all.length / size) }, (_, i) => all.slice(i * size, (i + 1) * size));
}
