import type { Span } from "../bytes/span.js";

/** Runs of addresses of `span` for which `is` holds; runs with fewer than `apart` addresses between them are one. */
export function runsOf(span: Span, is: (address: number) => boolean, apart = 1): Span[] {
  const runs: { start: number; end: number }[] = [];
  for (let address = span.start; address < span.end; address++) {
    if (!is(address)) continue;
    const last = runs.at(-1);
    if (last && address - last.end < apart) last.end = address + 1;
    else runs.push({ start: address, end: address + 1 });
  }
  return runs;
}

/** How many addresses of `span` `is` holds for. */
export function countIn(span: Span, is: (address: number) => boolean): number {
  let count = 0;
  for (let address = span.start; address < span.end; address++) if (is(address)) count++;
  return count;
}
