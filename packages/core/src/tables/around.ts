import { common, lengthOf, overlap, type Span } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { type DataTable, findTables, largestTable } from "./find.js";
import { mayMeet } from "./search.js";

/** Bytes on either side of a difference that are searched: no table around it begins or ends further away. */
const reach = largestTable;
/** Bytes that are searched in all: about a tenth of a second. Differences behind that are not looked at. */
const mostSearched = 98304;

/**
 * The tables that `runs` lie in, found in the first image or else in the second. Only what is near them is searched, and
 * only so much that it takes no time: two images that differ everywhere have no use for it.
 */
export function tablesAround(images: readonly [Image, Image], runs: readonly Span[]): DataTable[] {
  let left = mostSearched;
  const tables: DataTable[] = [];
  for (const image of images) {
    const unmet = runs.filter((run) => !tables.some(({ span }) => overlap(span, run)));
    const windows: Span[] = [];
    for (const window of windowsOf(unmet)) {
      const length = lengthOf(window);
      if (length > left) break;
      left -= length;
      windows.push(window);
    }
    const worthwhile = windows.filter((window) => mayLieInTable(image, window, unmet));
    tables.push(...findTables(image, worthwhile).filter(({ span }) => common([span], unmet).length > 0));
  }
  return tables;
}

function mayLieInTable(image: Image, window: Span, runs: readonly Span[]): boolean {
  return image.within(window).some(({ address, bytes }) => {
    const places = common([{ start: address, end: address + bytes.length }], runs);
    const offsets = places.map(({ start, end }) => ({ start: start - address, end: end - address }));
    return offsets.length > 0 && mayMeet(bytes, address, offsets);
  });
}

/** The surroundings of `runs`, joined where they meet; as many of them as the whole search may have. */
function windowsOf(runs: readonly Span[]): Span[] {
  const windows: Span[] = [];
  for (const { start, end } of runs) {
    const last = windows.at(-1);
    const from = Math.max(0, start - reach);
    const to = Math.min(2 ** 32, end + reach);
    if (last && from <= last.end) windows[windows.length - 1] = { start: last.start, end: Math.max(last.end, to) };
    else if (windows.length > mostSearched / reach) break;
    else windows.push({ start: from, end: to });
  }
  return windows;
}
