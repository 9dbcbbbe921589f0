import type { SymptomFacts } from "../../findings/areas/soundness.js";
import { sameShare } from "../../soundness/address-lines.js";
import type { SoundnessMeasures, Statistics } from "../../soundness/measure.js";
import { isKnownContent } from "./known-content.js";
import { doubt, evidence, namesOf, type Symptom, type SymptomCode } from "./symptom.js";

/** So large a part, and no larger, may hold each of its records twice; a record has two to the power of so many bytes. */
const recordsMost = 32768;
const recordsLine = 4;

type Repetition = SymptomFacts["soundness/address-line-dead"];

/** The address lines across which content repeats, and how surely it does across the first. */
export function repetitionIn({ addressLines: { dead, wrap } }: Statistics): Repetition | undefined {
  const inner = dead.filter(({ line, pairs }) => !(wrap && 2 ** line >= wrap.length) && pairs > 1);
  const [worst] = inner;
  return worst && { lines: inner.map(({ line }) => line), ...evidence(worst.share, sameShare, worst.compared) };
}

/** Whether a repetition can be meant: a small part without code that holds each of its records twice. */
export function areRecords({ lines }: Repetition, { extent }: SoundnessMeasures, statistics: Statistics): boolean {
  return extent.bytes <= recordsMost && (lines[0] ?? 0) >= recordsLine && !isKnownContent(statistics);
}

/** What is told of an order in which content goes on from block to block. */
const ofBorders: ReadonlySet<SymptomCode> = new Set<SymptomCode>([
  "soundness/address-lines-exchanged",
  "soundness/blocks-displaced",
  "soundness/content-breaks-off",
]);

/** What is told of the `order` of content, and beside it that all of it stands twice: then borders cannot be asked. */
export function orderBesideRecords(
  order: readonly Symptom[],
  measures: SoundnessMeasures,
  statistics: Statistics,
): readonly Symptom[] {
  const repetition = repetitionIn(statistics);
  if (!repetition || !areRecords(repetition, measures, statistics)) return order;
  const explained = order.filter(({ code }) => ofBorders.has(code));
  const facts = { ...repetition, also: namesOf(explained) };
  return [...order.filter((symptom) => !explained.includes(symptom)), doubt("soundness/records-alike", facts)];
}
