import type { Census } from "./census.js";
import { contentBlock } from "./fill.js";

/** How much structure the content has. */
export interface Chaos {
  /** Bits of entropy a byte of content, 0 to 8. */
  readonly entropy: number;
  /** Share of the pieces of 1 KiB whose bytes are spread like random ones. */
  readonly flatShare: number;
  readonly pieces: number;
  /** Deviation of the histogram of all content from a flat one, in standard deviations of chi squared. */
  readonly deviation: number;
}

const piece = 1024;
/** Chi squared of a random piece has mean 255 and standard deviation 22.6; code and tables lie above 1000. */
const flatBelow = 255 + 6 * 22.6;

/** The spread of the content's bytes: over everything, and piece by piece. */
export function measureChaos(bytes: Uint8Array, blocks: Uint8Array, census: Census): Chaos {
  let pieces = 0;
  let flat = 0;
  const total = new Float64Array(256);
  const counts = new Uint16Array(256);
  // At most 512 pieces, or just over, spread evenly: a share does not get better from more.
  const step = Math.max(1, Math.floor(bytes.length / piece / 512));
  for (let at = 0; at + piece <= bytes.length; at += step * piece) {
    if (blocks.subarray(at / contentBlock, (at + piece) / contentBlock).includes(0)) continue;
    counts.fill(0);
    for (let i = at; i < at + piece; i++) counts[bytes[i] as number] = (counts[bytes[i] as number] as number) + 1;
    let squares = 0;
    for (let value = 0; value < 256; value++) {
      const count = counts[value] as number;
      squares += count * count;
      total[value] = (total[value] as number) + count;
    }
    pieces++;
    if ((squares * 256) / piece - piece < flatBelow) flat++;
  }
  const sampled = pieces * piece;
  let squares = 0;
  for (const count of total) squares += count * count;
  const chi = sampled === 0 ? Number.POSITIVE_INFINITY : (squares * 256) / sampled - sampled;
  return {
    entropy: entropyOf(census.bytes),
    flatShare: pieces === 0 ? 0 : flat / pieces,
    pieces,
    deviation: (chi - 255) / 22.6,
  };
}

function entropyOf(counts: Uint32Array): number {
  let total = 0;
  for (const count of counts) total += count;
  let bits = 0;
  for (const count of counts) if (count > 0) bits -= (count / total) * Math.log2(count / total);
  return total === 0 ? 0 : bits;
}
