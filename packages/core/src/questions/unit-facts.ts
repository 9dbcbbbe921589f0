import { type Span, subtract, totalLength } from "../bytes/span.js";
import { sideOf } from "../compare/sides.js";
import type { Image } from "../image/image.js";
import { extentOf, sizesOf } from "../profile/check.js";
import type { UnitQuestion } from "../rules/unit.js";
import type { Unit } from "../unit/unit.js";

/** What the rules on a single unit are asked of. `exact`: the file cannot leave anything out, so its size must fit. */
export function unitQuestion(unit: Unit, exact: boolean, wantedSide: string | undefined): UnitQuestion {
  const { profile, read, image, erasedHoles, regions } = unit;
  const memory = memoryOf(unit);
  const outside = memory ? subtract(read.spans, [memory]) : [];
  const undescribed = written(
    image,
    subtract(
      image.spans,
      regions.flatMap(({ spans }) => spans),
    ),
    profile.memory.erased,
  );
  const bounds = read.bounds;
  return {
    profile: profile.id,
    confirmed: profile.confirmed,
    leftOut: profile.leftOut,
    extent: bounds ? bounds.end - profile.memory.base : 0,
    exact,
    sizes: sizesOf(profile),
    memory,
    outside: { bytes: totalLength(outside), first: outside[0] },
    undescribed,
    erasedHoles: {
      bytes: totalLength(erasedHoles),
      erased: profile.memory.erased ?? 0xff,
      spans: erasedHoles,
    },
    regions: regions.map((region) => ({
      ...region,
      bytes: totalLength(region.spans),
      missing: subtract(region.spans, image.spans),
    })),
    fields: unit.fields,
    side: sideOf(unit),
    wantedSide,
  };
}

/** The largest memory that the profile allows. */
function memoryOf({ profile }: Unit): Span | undefined {
  const sizes = sizesOf(profile);
  const { base } = profile.memory;
  return extentOf(profile) ?? (sizes.length > 0 ? { start: base, end: base + Math.max(...sizes) } : undefined);
}

/** The bytes of `spans` that do not read as erased, and the first run in which there are any. */
function written(image: Image, spans: readonly Span[], erased: number | undefined): UnitQuestion["undescribed"] {
  let bytes = 0;
  let first: Span | undefined;
  for (const span of spans) {
    const held = image.within(span);
    for (const part of held) {
      const content =
        erased === undefined ? part.bytes.length : part.bytes.reduce((n, byte) => n + (byte === erased ? 0 : 1), 0);
      if (content > 0) first ??= { start: part.address, end: part.address + part.bytes.length };
      bytes += content;
    }
  }
  return { bytes, first };
}
