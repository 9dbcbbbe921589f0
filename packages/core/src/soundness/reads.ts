import { common, type Span, subtract } from "../bytes/span.js";
import { differenceOf } from "../image/difference.js";
import type { Image } from "../image/image.js";

/** How two reads of one unit compare, outside of what the unit writes by itself. */
export interface ReadsCompared {
  readonly bytes: number;
  readonly runs: readonly Span[];
  /** Differing bits that are 1 in the second read only, and that are 0 in it only. */
  readonly raised: number;
  readonly lowered: number;
  /** Known in one of them only. */
  readonly oneSided: readonly Span[];
}

/** Two reads of one unit, held against each other where `volatile` does not reach. */
export function compareReads(first: Image, second: Image, volatile: readonly Span[]): ReadsCompared {
  const { runs, unlisted, onlyFirst, onlySecond } = differenceOf(first, second);
  const differing = subtract(unlisted ? [...runs, ...common([unlisted], first.spans)] : runs, volatile);
  let [bytes, raised, lowered] = [0, 0, 0];
  for (const span of differing) {
    for (const { address, bytes: own } of first.within(span)) {
      for (const [i, byte] of own.entries()) {
        const other = second.byteAt(address + i);
        if (other === undefined || other === byte) continue;
        bytes++;
        raised += bitCount(other & ~byte);
        lowered += bitCount(byte & ~other);
      }
    }
  }
  return { bytes, runs: differing, raised, lowered, oneSided: subtract([...onlyFirst, ...onlySecond], volatile) };
}

function bitCount(byte: number): number {
  let count = 0;
  for (let rest = byte; rest > 0; rest &= rest - 1) count++;
  return count;
}
