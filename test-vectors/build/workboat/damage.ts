import type { Span } from "./memory.js";
import { Random } from "./random.js";

/** What goes wrong on the bench, done to a good read. Each gives new bytes and leaves the old ones alone. */

/** The two bytes of each 16-bit word in the other order. */
export function swapped(bytes: Uint8Array): Uint8Array {
  return bytes.map((_, i) => bytes[i % 2 === 0 ? i + 1 : i - 1] as number);
}

/** Read with this address line dead at 0: what lies where the line is 1 is never seen, the other half twice. */
export function withDeadLine(bytes: Uint8Array, line: number): Uint8Array {
  const weight = 2 ** line;
  return bytes.map((_, i) => bytes[Math.floor(i / weight) % 2 === 0 ? i : i - weight] as number);
}

/** So many single bits the other way, each in another byte of `within`. */
export function withNoise(bytes: Uint8Array, within: Span, bits: number, label: string): Uint8Array {
  const random = new Random(`noise ${label}`);
  const noisy = bytes.slice();
  const touched = new Set<number>();
  while (touched.size < bits) {
    const at = random.between(within.start, within.end - 1);
    if (touched.has(at)) continue;
    touched.add(at);
    noisy[at] = (noisy[at] as number) ^ (1 << random.below(8));
  }
  return noisy;
}

/** Never programmed: the page reads erased. */
export function withErasedPage(bytes: Uint8Array, page: Span): Uint8Array {
  return bytes.slice().fill(0xff, page.start, page.end);
}

/** Programmed too weakly: about one in `every` of the bits that were to become 0 is still 1. */
export function withWeakPage(bytes: Uint8Array, page: Span, every: number): Uint8Array {
  const random = new Random("weak page");
  const weak = bytes.slice();
  for (let at = page.start; at < page.end; at++) {
    for (let bit = 0; bit < 8; bit++) if (random.below(every) === 0) weak[at] = (weak[at] as number) | (1 << bit);
  }
  return weak;
}
