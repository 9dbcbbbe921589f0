import type { Profile } from "../schema/profile.js";
import type { Condition, Position, Quantity, Range } from "../schema/quantity.js";

/** A name in a profile that something else must bear. */
export interface Reference {
  /** Where it stands in the document. */
  readonly path: string;
  /** What must bear it: a region, any field, or a field that holds a number; or a field of which a value is spoken of. */
  readonly kind: "region" | "field" | "number" | "value";
  readonly name: string;
  /** The value that is spoken of. */
  readonly value?: string;
}

type References = Generator<Reference, void, undefined>;

/** Every name of the profile that refers to a field or a region. */
export function* referring(profile: Profile): References {
  for (const [i, region] of profile.regions.entries()) {
    yield* inRanges(region.over, `regions[${i}].over`);
    yield* inCondition(region.when, `regions[${i}].when`);
  }
  for (const [i, field] of profile.fields.entries()) {
    yield* inPosition(field.at, `fields[${i}].at`);
    yield* inQuantity(field.length, `fields[${i}].length`);
    yield* inCondition(field.when, `fields[${i}].when`);
  }
  for (const [i, checksum] of profile.checksums.entries()) {
    yield* inRanges(checksum.over, `checksums[${i}].over`);
    yield* inPosition(checksum.stored.at, `checksums[${i}].stored.at`);
    if (checksum.repeat) {
      yield* inQuantity(checksum.repeat.count, `checksums[${i}].repeat.count`);
      yield* inQuantity(checksum.repeat.every, `checksums[${i}].repeat.every`);
    }
    yield* inCondition(checksum.when, `checksums[${i}].when`);
  }
  for (const [i, { over }] of profile.statedChecksums.entries()) yield* inRanges(over, `statedChecksums[${i}].over`);
  for (const [i, { region }] of profile.statedNumbers.entries()) {
    yield { path: `statedNumbers[${i}].region`, kind: "region", name: region };
  }
  for (const [i, part] of profile.volatile.entries()) yield* inRanges(part.over, `volatile[${i}].over`);
  for (const [i, part] of (profile.fingerprint?.without ?? []).entries()) {
    yield* inRanges(part.over, `fingerprint.without[${i}].over`);
  }
  yield* inPair(profile);
  yield* inDonor(profile);
  for (const [i, { calibration, checksum }] of profile.verificationNumbers.entries()) {
    const here = `verificationNumbers[${i}]`;
    if (calibration !== undefined) yield { path: `${here}.calibration`, kind: "field", name: calibration };
    if (typeof checksum !== "string") yield* inRanges(checksum.over, `${here}.checksum.over`);
  }
}

function* inPair({ pair }: Profile): References {
  for (const [i, rule] of (pair?.rules ?? []).entries()) {
    yield* inRanges(rule.over, `pair.rules[${i}].over`);
    if (rule.rule === "exchanged") yield* inRanges(rule.with, `pair.rules[${i}].with`);
  }
  const sides = pair?.sides;
  if (sides?.field === undefined) return;
  yield { path: "pair.sides.field", kind: "field", name: sides.field };
  for (const [side, value] of Object.entries(sides.values ?? {})) {
    yield { path: `pair.sides.values.${side}`, kind: "value", name: sides.field, value: String(value) };
  }
}

function* inDonor({ donor }: Profile): References {
  for (const [i, { region }] of (donor?.regions ?? []).entries()) {
    yield { path: `donor.regions[${i}].region`, kind: "region", name: region };
  }
  const { hardware, boot, size } = donor?.identifiedBy ?? {};
  if (hardware !== undefined) yield { path: "donor.identifiedBy.hardware", kind: "field", name: hardware };
  if (boot !== undefined) yield { path: "donor.identifiedBy.boot", kind: "field", name: boot };
  if (size !== undefined) yield { path: "donor.identifiedBy.size", kind: "field", name: size };
}

function* inRanges(ranges: readonly Range[], path: string): References {
  for (const [i, range] of ranges.entries()) {
    const here = `${path}[${i}]`;
    if ("region" in range) yield { path: `${here}.region`, kind: "region", name: range.region };
    else if ("field" in range) yield { path: `${here}.field`, kind: "field", name: range.field };
    else {
      yield* inPosition(range.start, `${here}.start`);
      if ("end" in range) yield* inPosition(range.end, `${here}.end`);
      else yield* inQuantity(range.length, `${here}.length`);
    }
  }
}

function* inCondition(condition: Condition | undefined, path: string): References {
  if (!condition) return;
  yield { path: `${path}.field`, kind: "field", name: condition.field };
  yield { path: `${path}.is`, kind: "value", name: condition.field, value: String(condition.is) };
}

function* inPosition(position: Position, path: string): References {
  if (typeof position === "number") return;
  if ("fromEnd" in position) yield* inQuantity(position.fromEnd, `${path}.fromEnd`);
  else if ("region" in position) {
    yield { path: `${path}.region`, kind: "region", name: position.region };
    yield* inQuantity(position.plus, `${path}.plus`);
  } else if ("after" in position) yield* inQuantity(position.plus, `${path}.plus`);
  else yield* inQuantity(position, path);
}

function* inQuantity(quantity: Quantity, path: string): References {
  if (typeof quantity === "number") return;
  if ("sum" in quantity) {
    for (const [i, term] of quantity.sum.entries()) yield* inQuantity(term, `${path}.sum[${i}]`);
  } else if ("roundUp" in quantity) {
    yield* inQuantity(quantity.roundUp, `${path}.roundUp`);
    yield* inQuantity(quantity.to, `${path}.to`);
  } else if ("twoToThe" in quantity) yield { path: `${path}.twoToThe`, kind: "number", name: quantity.twoToThe };
  else if ("cases" in quantity) {
    yield { path: `${path}.field`, kind: "field", name: quantity.field };
    for (const value of Object.keys(quantity.cases)) {
      yield { path: `${path}.cases.${value}`, kind: "value", name: quantity.field, value };
    }
  } else yield { path: `${path}.field`, kind: "number", name: quantity.field };
}
