import { type Correction, placeInFile } from "../corrections.js";

/** Bytes of a window of the original. */
export const windowLength = 64;
/** So many are looked at where nothing asks for more. */
export const windows = 512;

/**
 * Windows of the original, spread evenly over those that stand in content of the file. What two halves or two sides of
 * a line are to give must be content in both: else fill takes part in what is read.
 */
export function windowsIn(
  blocks: Uint8Array,
  length: number,
  correction: Correction | undefined,
  count: number,
): number[] {
  const held: number[] = [];
  const tried = Math.max(1, Math.ceil(blocks.length / (8 * count)));
  const across = correction?.kind === "exchange-address-lines" ? 2 ** correction.second : 0;
  const both = across >= windowLength;
  for (let at = 0; at + windowLength <= length; at += windowLength * tried) {
    // Counted once and taken with its counterpart: so the same bytes are read in both orders.
    if (both && Math.floor(at / across) % 2 === 1) continue;
    const isHeld = (offset: number) => {
      const place = correction && !both ? placeInFile(correction, offset, length) : offset;
      return offset < length && blocks[Math.floor(place / windowLength)] === 1;
    };
    if (isHeld(at) && isHeld(both ? at + across : at + windowLength - 1)) held.push(at);
  }
  const wanted = both ? count / 2 : count;
  const step = Math.max(1, held.length / wanted);
  const taken = Array.from({ length: Math.min(wanted, held.length) }, (_, i) => held[Math.floor(i * step)] as number);
  return both ? taken.flatMap((at) => [at, at + across]) : taken;
}

/** The windows of the file that the bytes of `places` of the original stand in. */
export function sourcesOf(places: readonly number[], correction: Correction, length: number): number[] {
  const blocks = new Set<number>();
  for (const at of places) {
    for (const offset of [at, at + windowLength - 1]) {
      blocks.add(Math.floor(placeInFile(correction, offset, length) / windowLength));
    }
  }
  return [...blocks].map((block) => block * windowLength);
}
