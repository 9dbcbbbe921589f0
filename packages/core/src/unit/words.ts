import { formatAddress } from "../bytes/hex.js";
import type { Fault } from "./field.js";
import type { Obstacle } from "./place.js";

/** Obstacles and faults as short plain text, for the facts of findings. */

export function obstacleText(obstacle: Obstacle): string {
  switch (obstacle.kind) {
    case "field-unreadable":
      return `it depends on the field ${obstacle.field}, which has no usable value`;
    case "region-unplaced":
      return `it depends on the region ${obstacle.region}, which has no place here`;
    case "value-without-case":
      return `the profile has no case for the value ${obstacle.value} of ${obstacle.field}`;
    case "no-multiple":
      return `it is to be a multiple of ${obstacle.of}, which is no size`;
    case "anchor-missing":
      return `the text ${JSON.stringify(obstacle.anchor)} that it stands behind is not there`;
    case "anchor-ambiguous":
      return `the text ${JSON.stringify(obstacle.anchor)} that it stands behind is there twice, at ${formatAddress(obstacle.first)} and ${formatAddress(obstacle.second)}`;
    case "anchors-many":
      return `the text ${JSON.stringify(obstacle.anchor)} that it stands behind was not looked for: the profile asks for too many in an image of this size`;
    case "outside-memory":
      return `it would lie from ${obstacle.start} to ${obstacle.end}, which is no place in memory`;
  }
}

export const faultTexts: Readonly<Record<Fault, string>> = {
  "not-printable": "characters that are no printable text",
  "not-digits": "characters that are no digits",
  erased: "erased memory",
  pattern: "it does not match the pattern of the profile",
  "not-the-mark": "it is not the value that marks the family",
  "not-listed": "it is none of the values that the profile lists",
  "machine-number-form": "it does not have the form of a machine number",
  "check-digit": "its check digit is wrong",
};
