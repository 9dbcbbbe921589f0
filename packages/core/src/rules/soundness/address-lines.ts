import { sameShare, wrapShare } from "../../soundness/address-lines.js";
import { blankShare } from "../../soundness/blank-level.js";
import type { SoundnessMeasures, Statistics } from "../../soundness/measure.js";
import { areRecords, repetitionIn } from "./records.js";
import { evidence, type Symptom, whole } from "./symptom.js";

/** What a dead or shorted address line, and a part smaller than the window that was read, leave behind. */
export function addressSymptoms(measures: SoundnessMeasures, statistics: Statistics): Symptom[] {
  const { shorted, blank } = statistics.addressLines;
  const symptoms: Symptom[] = [];
  for (const { line, level, value, share, compared } of blank.slice(0, 1)) {
    const facts = { line, level, value, ...evidence(share, blankShare, compared) };
    symptoms.push(whole("soundness/alternate-blocks-blank", facts));
  }
  const repetition = repetitionIn(statistics);
  if (!repetition) symptoms.push(...copies(measures, statistics));
  else if (!areRecords(repetition, measures, statistics)) {
    symptoms.push(whole("soundness/address-line-dead", repetition));
  }
  for (const { first, second, share, compared } of shorted.slice(0, 1)) {
    symptoms.push(whole("soundness/address-lines-shorted", { first, second, ...evidence(share, sameShare, compared) }));
  }
  return symptoms;
}

/** The content again behind itself, to the end. */
function copies({ extent }: SoundnessMeasures, { addressLines: { dead, wrap } }: Statistics): Symptom[] {
  if (wrap) {
    const facts = { period: wrap.length, bytes: extent.bytes, ...evidence(wrap.share, wrapShare, wrap.compared) };
    const decided = extent.allowed.length > 0 && !extent.allowed.includes(extent.bytes);
    const twice = extent.bytes === 2 * wrap.length;
    return [whole(twice && !decided ? "soundness/halves-alike" : "soundness/content-repeats", facts)];
  }
  // One pair of equal blocks: a copy of the content that nothing else contradicts.
  return dead.slice(0, 1).map(({ line, share, compared }) => {
    const facts = { period: 2 ** line, bytes: extent.bytes, ...evidence(share, sameShare, compared) };
    return whole("soundness/halves-alike", facts);
  });
}
