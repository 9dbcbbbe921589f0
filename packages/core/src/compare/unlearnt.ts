import type { Span } from "../bytes/span.js";
import { writtenIn } from "../unit/blank.js";
import type { Unit } from "../unit/unit.js";

/** A region of what a unit learns that holds something in one unit and one value in the other. */
export interface UnlearntRegion {
  readonly region: string;
  readonly bytes: number;
  readonly value: number;
  readonly erased: boolean;
  readonly first: Span;
}

/** The share of what the one holds that must read as one value: a unit that works changes what it learnt, and wipes it seldom. */
const unlearntShare = 0.5;

/** The regions of what a unit learns that hold something in `learnt` and one value, the erased one or another, in `other`. */
export function unlearntIn(learnt: Unit, other: Unit, erased: number | undefined): readonly UnlearntRegion[] {
  if (erased === undefined) return [];
  const regions = learnt.regions.filter(({ role }) => role === "adaptation");
  return regions.flatMap(({ name, spans }) => {
    const held = writtenIn(learnt.image, spans, erased);
    if (!held.first) return [];
    const reads = new Uint32Array(256);
    for (const { address, bytes } of spans.flatMap((span) => learnt.image.within(span))) {
      for (let i = 0; i < bytes.length; i++) {
        const now = other.image.byteAt(address + i);
        if (bytes[i] !== erased && now !== undefined && now !== bytes[i]) reads[now] = (reads[now] as number) + 1;
      }
    }
    const bytes = Math.max(...reads);
    const value = reads.indexOf(bytes);
    if (bytes < unlearntShare * held.bytes) return [];
    return [{ region: name, bytes, value, erased: value === erased, first: held.first }];
  });
}
