import { common, contains, lengthOf, normalised, type Span, subtract, totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { extentOf, largestMemory } from "../profile/extent.js";
import type { Field, Meaning } from "../profile/schema/field.js";
import { MEMORY_LIMIT, type Profile } from "../profile/schema/profile.js";
import type { Condition, Range } from "../profile/schema/quantity.js";
import { type Region, volatileRoles } from "../profile/schema/region.js";
import { Anchors } from "./anchor.js";
import { type FieldReading, readField } from "./field.js";
import { allSpansOf, type Found, type Obstacle, placedSpan, type Surroundings } from "./place.js";

/** A region of the profile as it lies in one image. */
export interface PlacedRegion {
  readonly name: string;
  readonly role: Region["role"];
  /** Sorted and disjoint; empty when the place could not be told. */
  readonly spans: readonly Span[];
  readonly obstacle?: Obstacle;
}

/** A unit's memory seen through the profile of its family. */
export interface Unit {
  readonly profile: Profile;
  /** As it was read. */
  readonly read: Image;
  /** With the holes that the profile lets pass as erased filled in. */
  readonly image: Image;
  /** Where holes were read as erased. */
  readonly erasedHoles: readonly Span[];
  readonly regions: readonly PlacedRegion[];
  readonly fields: readonly FieldReading[];
  /** What the unit writes by itself. */
  readonly volatile: readonly Span[];
  /** Places that the profile computes from the image. */
  readonly around: Surroundings;
  /** Whether a condition of the profile holds here; undefined when its field cannot be read. */
  readonly holds: (condition: Condition | undefined) => boolean | undefined;
}

/**
 * `image` seen through `profile`. Nothing in it is judged. Where the profile lets holes pass as erased, `holes` says
 * whether this image's holes may: those of a hex file may, what is missing from a raw file was cut off.
 */
export function describeUnit(image: Image, profile: Profile, holes: "erased" | "unknown" = "erased"): Unit {
  const first = resolve(image, profile);
  const erasedHoles = holes === "erased" ? holesToFill(image, profile, first.regions) : [];
  if (erasedHoles.length === 0) return { ...first, read: image, erasedHoles };
  // Filling can make a field readable, and with it a place: so everything is looked up again in the filled image.
  const filled = image.filled(erasedHoles, profile.memory.erased as number);
  return { ...resolve(filled, profile), read: image, erasedHoles };
}

/** The first field of that meaning, as it was read. */
export function fieldOfMeaning(unit: Pick<Unit, "fields">, meaning: Meaning): FieldReading | undefined {
  return unit.fields.find((reading) => reading.field.means === meaning && reading.status !== "not-applicable");
}

/** The field of that name, as it was read. */
export function fieldNamed(unit: Pick<Unit, "fields">, name: string): FieldReading | undefined {
  return unit.fields.find((reading) => reading.field.name === name);
}

/** The region that holds all of `span`, or the first that holds some of it. */
export function regionAt(regions: readonly PlacedRegion[], span: Span): PlacedRegion | undefined {
  return regions.find((region) => region.spans.some((own) => own.start < span.end && span.start < own.end));
}

/** Holes inside regions of which something is known: a region that is missing altogether was not erased, it was not read. */
function holesToFill(image: Image, profile: Profile, regions: readonly PlacedRegion[]): readonly Span[] {
  if (profile.memory.holes !== "erased") return [];
  const holes = normalised(
    regions
      .filter(({ spans }) => common(spans, image.spans).length > 0)
      .flatMap(({ spans }) => subtract(spans, image.spans)),
  );
  return totalLength(holes) <= MEMORY_LIMIT ? holes : [];
}

type Resolved = Omit<Unit, "read" | "erasedHoles">;

function resolve(image: Image, profile: Profile): Resolved {
  const memory = largestMemory(profile);
  const anchors = new Anchors(image);
  const readings = new Map<string, FieldReading>();
  const placed = new Map<string, PlacedRegion>();

  const around: Surroundings = {
    end: extentOf(profile)?.end ?? image.bounds?.end ?? 0,
    endOfAnchor: (anchor) => anchors.endOf(anchor),
    searched: () => anchors.searched,
    numberOf: (name) => {
      const reading = readingOf(name);
      const number = reading && "number" in reading ? reading.number : undefined;
      return number === undefined || number > BigInt(Number.MAX_SAFE_INTEGER)
        ? { obstacle: { kind: "field-unreadable", field: name } }
        : { value: Number(number) };
    },
    shownOf: (name) => {
      const reading = readingOf(name);
      return reading && "shown" in reading
        ? { value: reading.shown }
        : { obstacle: { kind: "field-unreadable", field: name } };
    },
    spanOfField: (name) => {
      const reading = readingOf(name);
      return reading && "span" in reading
        ? { value: reading.span }
        : { obstacle: { kind: "field-unreadable", field: name } };
    },
    spansOfRegion: (name) => {
      const region = regionOf(name);
      if (region?.obstacle) return { obstacle: region.obstacle };
      // A region of no bytes is there; one whose condition does not hold is not.
      const applies = region && holds(profile.regions.find((candidate) => candidate.name === name)?.when);
      return applies ? { value: region.spans } : { obstacle: { kind: "region-unplaced", region: name } };
    },
  };

  const holds = (condition: Condition | undefined): boolean | undefined => {
    if (!condition) return true;
    const reading = readingOf(condition.field);
    if (!reading || !("shown" in reading)) return undefined;
    return reading.shown === String(condition.is);
  };

  function readingOf(name: string): FieldReading | undefined {
    const known = readings.get(name);
    if (known) return known;
    const field = profile.fields.find((candidate) => candidate.name === name);
    if (!field) return undefined;
    const reading = lookUp(field);
    readings.set(name, reading);
    return reading;
  }

  function lookUp(field: Field): FieldReading {
    const applies = holds(field.when);
    if (applies === false) return { field, status: "not-applicable" };
    if (applies === undefined) {
      return {
        field,
        status: "unplaced",
        obstacle: { kind: "field-unreadable", field: (field.when as Condition).field },
      };
    }
    return readField(field, placedSpan(field.at, field.length, around), image, profile.memory.erased);
  }

  function regionOf(name: string): PlacedRegion | undefined {
    const known = placed.get(name);
    if (known) return known;
    const region = profile.regions.find((candidate) => candidate.name === name);
    if (!region) return undefined;
    const answer = place(region);
    placed.set(name, answer);
    return answer;
  }

  function place(region: Region): PlacedRegion {
    const { name, role } = region;
    const applies = holds(region.when);
    if (applies === false) return { name, role, spans: [] };
    const spans = allSpansOf(region.over, around);
    if (applies === undefined) {
      return { name, role, spans: [], obstacle: { kind: "field-unreadable", field: (region.when as Condition).field } };
    }
    if (spans.obstacle) return { name, role, spans: [], obstacle: spans.obstacle };
    // A region that a field places or measures must lie in the memory as one that is written down.
    const outside = spans.value.find(
      (span) => lengthOf(span) > MEMORY_LIMIT || (memory !== undefined && !contains(memory, span)),
    );
    return outside
      ? { name, role, spans: [], obstacle: { kind: "outside-memory", start: outside.start, end: outside.end } }
      : { name, role, spans: normalised(spans.value) };
  }

  const regions = profile.regions.map((region) => regionOf(region.name) as PlacedRegion);
  const fields = profile.fields.map((field) => readingOf(field.name) as FieldReading);
  const volatile = normalised([
    ...regions.filter(({ role }) => volatileRoles.includes(role)).flatMap(({ spans }) => spans),
    ...profile.volatile.flatMap(({ over }) => knownSpans(over, around)),
  ]);
  return { profile, image, regions, fields, volatile, around, holds };
}

/** The spans of the ranges whose place can be told. */
export function knownSpans(ranges: readonly Range[], around: Surroundings): readonly Span[] {
  return ranges.flatMap((range) => {
    const found: Found<readonly Span[]> = allSpansOf([range], around);
    return found.obstacle ? [] : found.value;
  });
}
