import { enoughDistinct, oneException, type ShortedLines, type StuckLine } from "../../soundness/data-lines.js";
import type { Statistics } from "../../soundness/measure.js";
import { isKnownContent } from "./known-content.js";
import { textOnly } from "./read-at-all.js";
import { doubt, evidence, type Symptom, whole } from "./symptom.js";
import { textShare } from "./transfer.js";

/** What a data line that stands still, and two that touch, do to every word; or a channel of seven bits to every byte. */
export function dataSymptoms(statistics: Statistics): Symptom[] {
  const { dataLines, transfer } = statistics;
  const text = textOnly(transfer);
  if (text) return [text];
  if (transfer.high === 0 && transfer.distinctLow >= enoughDistinct) {
    return [whole("soundness/high-bit-clear", evidence(transfer.printable, textShare, transfer.length))];
  }
  const known = isKnownContent(statistics);
  const stuck = dataLines.stuck.filter(
    ({ likeNumbers, exceptions, bytes }) => (known || !likeNumbers) && exceptions * oneException <= bytes,
  );
  const shorted = dataLines.shorted.filter((pair) => isShort(pair, known)).slice(0, 1);
  return [
    ...stuck.map((line) => whole("soundness/data-line-stuck", stuckFacts(line))),
    ...shorted.map((pair) => whole("soundness/data-lines-shorted", shortedFacts(pair))),
  ];
}

/** What a line that stands still, or two that move together, and a list of numbers leave alike. */
export function dataDoubts(statistics: Statistics): Symptom[] {
  const { dataLines, transfer } = statistics;
  if (transfer.high === 0) return [];
  const known = isKnownContent(statistics);
  const stuck = known ? [] : dataLines.stuck.filter(({ likeNumbers }) => likeNumbers);
  const shorted = dataLines.shorted.some((pair) => isShort(pair, known)) ? [] : dataLines.shorted.slice(0, 1);
  return [
    ...stuck.map((line) => doubt("soundness/data-line-doubtful", stuckFacts(line))),
    ...shorted.map((pair) => doubt("soundness/data-lines-doubtful", shortedFacts(pair))),
  ];
}

function isShort({ moving, likeNumbers }: ShortedLines, known: boolean): boolean {
  return moving && (known || !likeNumbers);
}

function stuckFacts({ bus, lane, bit, level, bytes, exceptions, distinct }: StuckLine) {
  return { bus, lane, bit, level, distinct, ...evidence(exceptions, enoughDistinct, bytes) };
}

function shortedFacts({ bus, first, second, bytes }: ShortedLines) {
  return { bus, first, second, ...evidence(0, 0, bytes) };
}
