import { formatAddress } from "../bytes/hex.js";
import { lengthOf, type Span, totalLength } from "../bytes/span.js";
import { obstacleText } from "../unit/words.js";
import type { Absence } from "./absence.js";

/** Why a checksum neither holds nor fails, as short plain text, for the facts of findings. */
export function absenceText(absence: Absence): string {
  switch (absence.kind) {
    case "place":
      return obstacleText(absence.obstacle);
    case "count":
      return `it is repeated ${absence.count} times, expected 0 to ${absence.most}`;
    case "stored-inside":
      return `its stored value at ${place(absence.span)} lies in what it covers, and the profile does not say how it counts there`;
    case "stored-outside":
      return `its stored value at ${place(absence.span)} does not lie in the whole that is to come to a constant, once and in one piece`;
    case "covered-twice":
      return `the ${lengthOf(absence.span)} bytes from ${place(absence.span)} on go into it twice, and a change of them may cancel out`;
    case "gaps":
      return `${totalLength(absence.spans)} bytes that it covers are not known, the first at ${formatAddress(absence.spans[0]?.start ?? 0)}`;
    case "stored-unknown":
      return `its stored value at ${place(absence.span)} is not known`;
    case "nothing-covered":
      return "it covers no byte";
    case "length":
      return `it covers ${absence.length} bytes, expected a multiple of ${absence.multipleOf}`;
    case "blank":
      return "all that it covers is blank";
    case "effort":
      return `it covers ${absence.length} bytes, which is out of proportion to the image`;
  }
}

function place(span: Span): string {
  return formatAddress(span.start);
}
