import type { SoundnessMeasures, Statistics } from "../../soundness/measure.js";
import type { Transfer } from "../../soundness/transfer.js";
import { doubt, evidence, type Symptom, whole } from "./symptom.js";
import { textShare } from "./transfer.js";

/** The share of pieces that are spread as random bytes are, how many there must be, and how far off chance they may be. */
const flatShareLeast = 0.9;
const flatPiecesLeast = 2;
const deviationMost = 2000;
/** Below so many bytes any size is one that parts have. */
const sizeLeast = 2048;

/** That the file is something else than the bytes of a memory, or one value throughout: then nothing else is asked. */
export function contentAbsent({ container, constant, erased, known }: SoundnessMeasures): Symptom | undefined {
  if (container) return whole("soundness/not-the-bytes", { kind: container, ...evidence(1, 1, known) });
  return constant === undefined
    ? undefined
    : whole("soundness/constant", { value: constant, erased, ...evidence(1, 1, known) });
}

/** That there is nothing but text: what is told of lines and bits is then told of letters. */
export function textOnly({ high, printable, length }: Transfer): Symptom | undefined {
  if (high > 0 || printable < textShare) return undefined;
  return whole("soundness/only-text", evidence(printable, textShare, length));
}

/** That the content is spread as chance spreads bytes. */
export function chaosSymptoms({ chaos: { flatShare, pieces, entropy, deviation } }: Statistics): Symptom[] {
  if (pieces < flatPiecesLeast || flatShare < flatShareLeast || deviation > deviationMost) return [];
  return [doubt("soundness/structureless", { entropy, ...evidence(flatShare, flatShareLeast, pieces) })];
}

/** That no memory part has the size of the read. */
export function sizeSymptoms({ exact, extent }: SoundnessMeasures): Symptom[] {
  // A profile that states sizes is asked about them by the rules on units.
  if (!exact || extent.allowed.length > 0 || extent.bytes < sizeLeast || extent.partLike) return [];
  return [doubt("soundness/size-unusual", { odd: extent.odd, ...evidence(extent.bytes, 0, extent.bytes) })];
}
