import type { Accelerators } from "../algorithms/algorithm.js";
import { subtract } from "../bytes/span.js";
import type { Composition } from "../compose/compose.js";
import { type Plan, spansFrom } from "../compose/plan.js";
import { isBare } from "../formats/decoded.js";
import { differenceOf, differingSpans } from "../image/difference.js";
import type { Image } from "../image/image.js";
import type { Outside } from "../job/outside.js";
import type { JobSheet } from "../job/schema.js";
import type { Profile } from "../profile/schema/profile.js";
import type { ComposedFacts } from "../rules/donor-question.js";
import { fieldValue } from "../unit/field.js";
import { sideOf, sideTold } from "../unit/side.js";
import { describeUnit, fieldOfMeaning, type Unit } from "../unit/unit.js";
import { type Examined, examine } from "./examine.js";
import type { InputFile } from "./input.js";
import { type Seen, seenThrough } from "./seen.js";

/** What of a request concerns the composed image. */
interface ComposedRequest {
  readonly source: InputFile;
  readonly donor: InputFile;
  readonly job?: JobSheet | undefined;
  readonly accelerators?: Accelerators;
}

/** What was composed, looked at as if it had been read out of a unit. */
export function examineComposed(
  { image }: Composition,
  plan: Plan,
  { source, donor, job, accelerators }: ComposedRequest,
  profile: Profile,
  slot: string | undefined,
): Examined {
  // Where one of the two could leave something out, the composed image may have holes in no region.
  const format = isBare(donor.decoded.format) ? source.decoded.format : donor.decoded.format;
  const decoded = { format, image, findings: [], originOf: () => undefined };
  const input: InputFile = { role: "composed", name: "composed image", bytes: image.length, sha256: "", decoded };
  const seen = seenThrough(input, profile);
  const erased = spansFrom(plan, "erased");
  return examine(seen, {
    side: slot,
    job,
    jobSide: slot ?? toldSide(seen),
    outside: job && outsideOfComposed(job, plan, profile, image),
    overlooked: () => ({ spans: erased, fields: new Set() }),
    unasked: ["blank-regions"],
    accelerators,
  });
}

/** What is known of the machine from outside, and its number where that is carried: the donor's own was judged with the donor. */
function outsideOfComposed({ machine }: JobSheet, plan: Plan, profile: Profile, image: Image): Outside {
  const field = fieldOfMeaning(describeUnit(image, profile), "machine-number");
  const carried =
    field !== undefined && "span" in field && subtract([field.span], spansFrom(plan, "source")).length === 0;
  return {
    label: {},
    answers: new Map(),
    identifications: new Map(),
    answeredMachineNumber: undefined,
    calibrations: [],
    machineNumber: carried ? machine?.number : undefined,
    build: machine?.build,
    road: machine?.road ?? false,
  };
}

/** What the rules on a donor ask of the composed image itself. */
export function composedFacts(composed: Unit, donor: Unit, plan: Plan): ComposedFacts {
  const difference = differenceOf(composed.image, donor.image);
  const volatile = [...composed.volatile, ...donor.volatile];
  const fixed = subtract([...differingSpans(difference), ...difference.onlyFirst], volatile);
  const placed = new Map(plan.parts.map(({ region, spans }) => [region, spans]));
  const name = composed.profile.donor?.identifiedBy.hardware;
  const hardware = name
    ? composed.fields.find(({ field }) => field.name === name)
    : fieldOfMeaning(composed, "hardware-number");
  return {
    hardware: fieldValue(hardware),
    machineNumber: fieldValue(fieldOfMeaning(composed, "machine-number")),
    moved: composed.regions.flatMap(({ name: region, spans }) => {
      const own = placed.get(region) ?? [];
      const same = subtract(spans, own).length === 0 && subtract(own, spans).length === 0;
      return same ? [] : [region];
    }),
    alreadyThere: difference.bytes === 0 || fixed.length === 0,
  };
}

/** The side that a unit says it is coded for, where the family has sides. */
export function toldSide({ unit }: Pick<Seen, "unit">): string | undefined {
  return unit.profile.pair?.sides ? sideName(unit) : undefined;
}

/** The side that a unit says it is coded for. */
export function sideName(unit: Unit): string | undefined {
  return sideTold(sideOf(unit));
}
