import type { SoundnessMeasures } from "../../soundness/measure.js";
import { addressSymptoms } from "./address-lines.js";
import { blockSymptoms } from "./block-order.js";
import { dataDoubts, dataSymptoms } from "./data-lines.js";
import { placeSymptoms } from "./holes-and-repeats.js";
import { orderSymptoms, provedSymptoms } from "./order.js";
import { isOutweighed } from "./outweighed.js";
import { chaosSymptoms, contentAbsent, sizeSymptoms } from "./read-at-all.js";
import { orderBesideRecords } from "./records.js";
import { namesOf, type Symptom } from "./symptom.js";
import { transferDoubts, transferSymptoms } from "./transfer.js";

/** What is wrong with a read, and what of it is only a consequence. */
export interface Cause {
  /** Each to be told; the strongest first. */
  readonly told: readonly Symptom[];
  /** Explained by the first one. */
  readonly explained: readonly Symptom[];
  /** Contradicted by a checksum that holds over the place. */
  readonly outweighed: readonly Symptom[];
}

/** What `measures` amount to: the strongest evidence leads, its consequences are named with it and not told apart. */
export function causeOf(measures: SoundnessMeasures): Cause {
  const all = symptomsOf(measures);
  const outweighed = all.filter((symptom) => isOutweighed(symptom, measures));
  const standing = all.filter((symptom) => !outweighed.includes(symptom));
  const [leading, ...rest] = standing;
  if (leading?.reach !== "whole") return { told: standing, explained: [], outweighed };
  const told = { ...leading, facts: { ...leading.facts, also: namesOf(rest) } } as Symptom;
  return { told: [told], explained: rest, outweighed };
}

/** Whether no fault of the whole read was found, so that a read like it has none either. */
export function isSound({ told }: Cause): boolean {
  return told.every(({ reach, spans }) => reach === "place" && spans.length > 0);
}

/** Everything that was seen, strongest evidence first. */
function symptomsOf(measures: SoundnessMeasures): Symptom[] {
  const { statistics, body, proved } = measures;
  const absent = contentAbsent(measures);
  if (absent) return [absent];
  // What checksums prove leads: no statistic is as sure.
  const proof = proved ? provedSymptoms(proved) : [];
  if (!statistics || !body) return proof;
  const order = proved ? [] : [...orderSymptoms(statistics), ...blockSymptoms(statistics)];
  return [
    ...proof,
    ...addressSymptoms(measures, statistics),
    ...dataSymptoms(statistics),
    ...transferSymptoms(statistics),
    ...orderBesideRecords(order, measures, statistics),
    ...dataDoubts(statistics),
    ...transferDoubts(statistics),
    ...placeSymptoms(measures, statistics, body.start),
    ...chaosSymptoms(statistics),
    ...sizeSymptoms(measures),
  ];
}
