import { subtract } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import type { Outside } from "../job/outside.js";
import type { JobSheet } from "../job/schema.js";
import type { Profile } from "../profile/schema/profile.js";
import { describeUnit, fieldOfMeaning } from "../unit/unit.js";
import { type Plan, spansFrom } from "./plan.js";

/** What is known of the machine from outside, and its number where that is carried: the donor's own was judged with the donor. */
export function outsideOfComposed({ machine }: JobSheet, plan: Plan, profile: Profile, image: Image): Outside {
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
