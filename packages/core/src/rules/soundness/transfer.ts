import type { Statistics } from "../../soundness/measure.js";
import { doubt, evidence, type Symptom, whole } from "./symptom.js";

/** The share of printable bytes from which on content is text: then line ends and absent values are those of text. */
export const textShare = 0.85;
/** The share of bytes from 80 on that are characters of UTF-8, and how many there must be. */
const wellFormedShare = 0.98;
const highLeast = 64;
/** The share of line feeds with a return before them, and how many there must be. */
const returnsShare = 0.98;
const lineFeedsLeast = 6;
/** Occurrences of a value, and of pairs of return and line feed, that must be expected where there is none. */
const missingSurely = 16;
const missingDoubtful = 5;
const pairsMissing = 12;

/** What text handling (transfers in text mode, editors, converters) has put in, taken out or replaced. */
export function transferSymptoms(statistics: Statistics): Symptom[] {
  const { transfer, chaos } = statistics;
  const { lineFeeds, afterReturn, high, wellFormed, replacements } = transfer;
  const symptoms: Symptom[] = [];
  if (transfer.printable >= textShare) return symptoms;
  if (high >= highLeast && wellFormed >= wellFormedShare * high) {
    const facts = { replacements, ...evidence(wellFormed / high, wellFormedShare, high) };
    symptoms.push(whole("soundness/re-encoded", facts));
  }
  const share = lineFeeds === 0 ? 0 : afterReturn / lineFeeds;
  if (lineFeeds >= lineFeedsLeast && share >= returnsShare && chaos.pieces > 0) {
    const facts = evidence(share, returnsShare, lineFeeds);
    symptoms.push(whole("soundness/text-mode-transfer", { change: "return-added", ...facts }));
  }
  for (const { value, expected } of missingIn(statistics)) {
    if (expected < missingSurely) continue;
    const facts = evidence(Math.floor(expected), missingSurely, transfer.length);
    symptoms.push(
      value === 0x0d
        ? whole("soundness/text-mode-transfer", { change: "return-dropped", ...facts })
        : whole("soundness/byte-values-missing", { value, ...facts }),
    );
  }
  return symptoms;
}

/** What chance can make of a small image, and a transfer of any. */
export function transferDoubts(statistics: Statistics): Symptom[] {
  const { returns, afterReturn, pairsByChance, printable, length } = statistics.transfer;
  if (printable >= textShare) return [];
  const doubts = missingIn(statistics)
    .filter(({ expected }) => expected >= missingDoubtful && expected < missingSurely)
    .map(({ value, expected }) => {
      const facts = evidence(Math.floor(expected), missingDoubtful, length);
      return doubt("soundness/byte-value-doubtful", { value, ...facts });
    });
  if (returns > 0 && afterReturn === 0 && pairsByChance >= pairsMissing) {
    const facts = evidence(Math.round(pairsByChance), pairsMissing, length);
    doubts.push(doubt("soundness/line-ends-doubtful", facts));
  }
  return doubts;
}

/** Values that are absent, but for those that a line which stands still cannot make. */
function missingIn({ transfer, dataLines }: Statistics) {
  const still = dataLines.stuck.filter(({ bus }) => bus === 8);
  return transfer.missing.filter(({ value }) => still.every(({ bit, level }) => ((value >> bit) & 1) === level));
}
