import { common, normalised, type Span, subtract, totalLength } from "../bytes/span.js";
import type { ChecksumFacts } from "../checksums/facts.js";
import { type Difference, differenceOf, differingSpansBut } from "../image/difference.js";
import type { Image } from "../image/image.js";
import type { PlacedRegion, Unit } from "../unit/unit.js";
import { type Compared, comparedIn } from "./compared.js";
import type { Explanation } from "./explanation.js";
import { reachOutside } from "./followed.js";
import { followingChecksums } from "./following.js";
import { type DifferingPiece, piecesOf } from "./pieces.js";
import { type UnlearntRegion, unlearntIn } from "./unlearnt.js";
import { type CutWrite, cutOf, type FaultyPlace, faultyPlaces, otherTailOf, type WriteFault } from "./write-faults.js";

/** All places of one region that look alike. */
export interface FaultGroup {
  readonly fault: WriteFault;
  /** Undefined outside all regions, and without a profile. */
  readonly region: string | undefined;
  /** The places in address order, the first few. */
  readonly first: readonly [Span, ...Span[]];
  readonly places: number;
  readonly bytes: number;
  /** Bits that read as erased and should not, and that should and do not. */
  readonly stayed: number;
  readonly lost: number;
  readonly by: number | undefined;
}

/** Bytes of a region that only one of the two knows. */
export interface OneSidedRegion {
  readonly region: string | undefined;
  readonly bytes: number;
  readonly first: Span;
}

/** What was meant and what is in the unit, held against each other. */
export interface ReadbackComparison {
  readonly difference: Difference;
  /** Free is what the unit writes by itself. */
  readonly compared: Compared;
  /** Every unequal run, with what explains it. */
  readonly pieces: readonly DifferingPiece[];
  /** Unequal bytes where the unit writes by itself. */
  readonly volatile: number;
  readonly cut: CutWrite | undefined;
  readonly faults: readonly FaultGroup[];
  /** Meant and not in the read; in the unit and not in what was meant, of the regions that it does not write itself. */
  readonly unread: readonly OneSidedRegion[];
  readonly unmeant: readonly OneSidedRegion[];
  /** Regions of what a unit learns that read as one value, the erased one or another, where content was meant. */
  readonly unlearnt: readonly UnlearntRegion[];
}

/** What is needed besides the two images. */
export interface ReadbackContext {
  /** Seen through the profile; left out without one. */
  readonly units?: { readonly intended: Unit; readonly read: Unit };
  /** Checksums of both, by the same names. */
  readonly checksums?: { readonly intended: readonly ChecksumFacts[]; readonly read: readonly ChecksumFacts[] };
  readonly before?: Image | undefined;
  readonly erased: number | undefined;
}

/** Places that a group names, and bits that must all have gone one way before that says anything: by chance once in 128. */
const placesNamed = 8;
export const bitsOneWay = 8;

/** What was meant to be written and what was read back, compared. Nothing in it is judged. */
export function compareReadback(intended: Image, read: Image, context: ReadbackContext): ReadbackComparison {
  const { units, before, erased } = context;
  const regions: readonly PlacedRegion[] = units?.intended.regions ?? [];
  const volatile = units ? normalised([...units.intended.volatile, ...units.read.volatile]) : [];
  const difference = differenceOf(intended, read);
  const runs = differingSpansBut(volatile, difference, intended, read);
  const explanations: readonly Explanation[] = [
    { rule: "volatile", spans: volatile },
    ...ownChecksums(context, runs, volatile).map(({ name, storedAt }) => ({
      rule: `checksum/${name}`,
      spans: subtract([storedAt], volatile),
    })),
  ];
  const explained = normalised(explanations.flatMap(({ spans }) => spans));
  const differing = subtract(runs, explained);
  const fixed = subtract(common(intended.spans, read.spans), explained);
  const write = { intended, read, before, erased, fixed };
  const cut = cutOf(write, differing);
  const outside = cut ? subtract(differing, [cut.span]) : differing;
  const parts = regions.map(({ spans }) => spans);
  const places = faultyPlaces(write, outside, parts);
  const untold = !cut && places.every(({ fault }) => fault === "unknown" || fault === "bits-not-programmed");
  const other = untold ? otherTailOf(write, differing) : undefined;
  return {
    difference,
    compared: comparedIn(intended, read, regions, volatile),
    pieces: piecesOf(runs, regions, explanations),
    volatile: totalLength(common(runs, volatile)),
    cut: cut ?? other,
    faults: other ? [] : groupsOf(places, regions),
    unlearnt: units && !cut ? unlearntIn(units.intended, units.read, erased) : [],
    unread: oneSided(difference.onlyFirst, regions, volatile),
    unmeant: units
      ? oneSided(difference.onlySecond, regions, volatile).filter(({ region }) => region !== undefined)
      : [],
  };
}

/** Stored checksums that follow from nothing but what the unit writes by itself. */
function ownChecksums({ checksums }: ReadbackContext, runs: readonly Span[], volatile: readonly Span[]) {
  if (!checksums) return [];
  const others = subtract(runs, volatile);
  return followingChecksums(checksums.intended, checksums.read).filter(
    ({ holdsInBoth, covered, storedAt }) =>
      holdsInBoth && reachOutside(covered, runs, storedAt) && !reachOutside(covered, others, storedAt),
  );
}

function groupsOf(places: readonly FaultyPlace[], regions: readonly PlacedRegion[]): readonly FaultGroup[] {
  const byStart = regions.flatMap(({ name, spans }) => spans.map((span) => ({ name, span })));
  const groups = new Map<string, FaultyPlace[]>();
  const regionOf = ({ span }: FaultyPlace) =>
    byStart.find((one) => one.span.start <= span.start && span.start < one.span.end)?.name;
  const add = (place: FaultyPlace) => {
    const key = JSON.stringify([place.fault, regionOf(place), place.by]);
    const group = groups.get(key);
    if (group) group.push(place);
    else groups.set(key, [place]);
  };
  for (const place of places) add(place);
  // A few bits go one way by chance: what so little evidence speaks for is not named.
  for (const [key, group] of [...groups]) {
    const { fault } = group[0] as FaultyPlace;
    const bits = group.reduce((total, { stayed, lost }) => total + stayed + lost, 0);
    if ((fault !== "bits-not-programmed" && fault !== "bits-not-erased") || bits >= bitsOneWay) continue;
    groups.delete(key);
    for (const place of group) add({ ...place, fault: "unknown" });
  }
  return [...groups.values()].map((group): FaultGroup => {
    const sorted = [...group].sort((a, b) => a.span.start - b.span.start);
    const [first, ...rest] = sorted as [FaultyPlace, ...FaultyPlace[]];
    const sum = (of: (place: FaultyPlace) => number) => group.reduce((total, place) => total + of(place), 0);
    return {
      fault: first.fault,
      region: regionOf(first),
      first: [first.span, ...rest.slice(0, placesNamed - 1).map(({ span }) => span)],
      places: group.length,
      bytes: sum(({ bytes }) => bytes),
      stayed: sum(({ stayed }) => stayed),
      lost: sum(({ lost }) => lost),
      by: first.by,
    };
  });
}

function oneSided(
  only: readonly Span[],
  regions: readonly PlacedRegion[],
  volatile: readonly Span[],
): readonly OneSidedRegion[] {
  const described = regions.flatMap(({ spans }) => spans);
  return [
    ...regions.map(({ name, spans }) => ({ region: name, here: subtract(common(spans, only), volatile) })),
    { region: undefined, here: subtract(only, [...described, ...volatile]) },
  ].flatMap(({ region, here }) => {
    const first = here[0];
    return first ? [{ region, bytes: totalLength(here), first }] : [];
  });
}
