import type { Span } from "../../bytes/span.js";
import type { SoundnessMeasures, Statistics } from "../../soundness/measure.js";
import { evidence, type Symptom } from "./symptom.js";

/** Holes that a symptom keeps the places of. */
const holesKept = 64;

/** Blocks that stand twice, and blocks of fill where content should stand; `base` is the address of the first byte. */
export function placeSymptoms({ failed }: SoundnessMeasures, { holes, repeats }: Statistics, base: number): Symptom[] {
  const symptoms: Symptom[] = [];
  const spanOf = (start: number, end: number): Span => ({ start: base + start, end: base + end });
  const [repeat] = repeats;
  if (repeat) {
    const { start, length, run } = repeat;
    const spans = repeats.map((one) => spanOf(one.start + one.length, one.start + 2 * one.length));
    const facts = { length, first: base + start, count: repeats.length, ...evidence(run, length, length) };
    symptoms.push({ code: "soundness/block-repeated", reach: "place", facts, spans });
  }
  const fails = (span: Span) => failed.some(({ start, end }) => start < span.end && span.start < end);
  for (const failing of [true, false]) {
    const chosen = holes.filter(
      ({ start, end, meant }) =>
        fails(spanOf(start, end)) === failing && meant !== "unused" && (failing || meant !== "padding"),
    );
    const [hole] = chosen;
    if (!hole) continue;
    const { start, end, value, block } = hole;
    const line = chosen.every((one) => one.line === hole.line) ? hole.line : undefined;
    const facts = {
      value,
      first: base + start,
      count: chosen.length,
      line,
      ...evidence(end - start, block, end - start),
    };
    const spans = chosen.slice(0, holesKept).map((one) => spanOf(one.start, one.end));
    const code = failing ? ("soundness/hole-under-failing-checksum" as const) : ("soundness/hole-in-content" as const);
    symptoms.push({ code, reach: "place", facts, spans });
  }
  return symptoms;
}
