import { Refusal } from "../findings/refusal.js";

/**
 * One memory that lies in several files: in turn (`interleaved`: parts side by side on the bus, each with every second
 * or fourth unit of a word) or one behind the other (`joined`). A unit is what one part gives at a time, in bytes.
 */
export const arrangements = ["interleaved", "joined"] as const;
export type Arrangement = (typeof arrangements)[number];

/** Parts side by side: two or four, and 8 or 16 bits wide. */
const counts = [2, 4];
const units = [1, 2];

/**
 * The memory of `parts`, given in the order in which their units follow each other: the first unit is of the first part.
 * @throws Refusal when there are not two or four parts, or not all of one size, or the size is no whole number of units
 */
export function interleaved(parts: readonly Uint8Array[], unit = 1): Uint8Array {
  checkInterleaving(parts.length, unit);
  const length = (parts[0] as Uint8Array).length;
  if (parts.some((part) => part.length !== length)) {
    const sizes = parts.map((part) => part.length).join(", ");
    throw new Refusal("file/parts-unequal", `part files: expected one size, got ${sizes} bytes`);
  }
  if (length % unit !== 0) {
    throw new Refusal("file/layout-odd", `part files: expected a multiple of ${unit} bytes, got ${length}`);
  }
  const whole = new Uint8Array(length * parts.length);
  for (const [index, part] of parts.entries()) {
    for (let at = 0; at < length; at++) whole[placeInWhole(at, index, parts.length, unit)] = part[at] as number;
  }
  return whole;
}

/** The memory whose parts lie one behind the other, in the order given. */
export function joinedParts(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((total, part) => total + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** Which part the byte at `offset` of an interleaved memory is from, and where in it. */
export function placeInPart(offset: number, count: number, unit: number): { part: number; offset: number } {
  const within = offset % unit;
  const turn = (offset - within) / unit;
  return { part: turn % count, offset: Math.floor(turn / count) * unit + within };
}

function placeInWhole(at: number, part: number, count: number, unit: number): number {
  const within = at % unit;
  return (at - within) * count + part * unit + within;
}

function checkInterleaving(count: number, unit: number): void {
  if (!counts.includes(count)) throw new Refusal("file/parts-count", `part files: expected 2 or 4, got ${count}`);
  if (!units.includes(unit)) {
    throw new Refusal("file/parts-unit", `part files: expected units of 1 or 2 bytes, got ${unit}`);
  }
}
