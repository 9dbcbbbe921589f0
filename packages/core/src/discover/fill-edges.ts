import type { Ground } from "./ground.js";

/** A run of one byte is fill from so many bytes on. */
const shortestFill = 24;
const mostFills = 256;

/** Where content begins and where it ends beside fill, in any of the contents; the longest fills when there are many. */
export function fillEdges({ address, contents }: Ground): { starts: number[]; ends: number[] } {
  const fills = new Map<string, { from: number; to: number }>();
  for (const content of contents) {
    for (let from = 0; from < content.length; ) {
      const byte = content[from];
      let to = from + 1;
      while (content[to] === byte && to < content.length) to++;
      if (to - from >= shortestFill) fills.set(`${from}:${to}`, { from, to });
      from = to;
    }
  }
  const longest = [...fills.values()].sort((a, b) => b.to - b.from - (a.to - a.from)).slice(0, mostFills);
  const starts = new Set<number>();
  const ends = new Set<number>();
  for (const { from, to } of longest) {
    // The last word of content may end, and the first may begin, with bytes like the fill.
    for (const size of [1, 4]) {
      ends.add(Math.ceil((address + from) / size) * size - address);
      starts.add(Math.floor((address + to) / size) * size - address);
    }
  }
  return { starts: [...starts], ends: [...ends] };
}
